;; Adds `count` samples to `sums`: sum and sum of squares so far, the same of this stretch, largest and smallest (all read and
;; written); see src/signal/level.ts, which does the same operations in the same order.
(func (export "levels") (param $samples i32) (param $count i32) (param $sums i32)
  (local $end i32) (local $all v128) (local $stretch v128) (local $x v128) (local $both v128)
  (local $highest v128) (local $lowest v128) (local $last f64)
  (local.set $all (v128.load (local.get $sums)))
  (local.set $stretch (v128.load offset=16 (local.get $sums)))
  (local.set $highest (v128.load64_splat offset=32 (local.get $sums)))
  (local.set $lowest (v128.load64_splat offset=40 (local.get $sums)))
  (local.set $end (i32.add (local.get $samples) (i32.shl (i32.and (local.get $count) (i32.const -2)) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $samples) (local.get $end)))
      (local.set $x (v128.load (local.get $samples)))
      (local.set $highest (f64x2.pmax (local.get $highest) (local.get $x)))
      (local.set $lowest (f64x2.pmin (local.get $lowest) (local.get $x)))
      (local.set $both (f64x2.mul (local.get $x) (local.get $x)))
      ;; x and its square of the first frame, then of the second.
      (local.set $all
        (f64x2.add (local.get $all)
          (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $x) (local.get $both))))
      (local.set $stretch
        (f64x2.add (local.get $stretch)
          (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $x) (local.get $both))))
      (local.set $x
        (i8x16.shuffle 8 9 10 11 12 13 14 15 24 25 26 27 28 29 30 31 (local.get $x) (local.get $both)))
      (local.set $all (f64x2.add (local.get $all) (local.get $x)))
      (local.set $stretch (f64x2.add (local.get $stretch) (local.get $x)))
      (local.set $samples (i32.add (local.get $samples) (i32.const 16)))
      (br $each)))
  (if (i32.and (local.get $count) (i32.const 1))
    (then
      (local.set $x (v128.load64_splat (local.get $samples)))
      (local.set $highest (f64x2.pmax (local.get $highest) (local.get $x)))
      (local.set $lowest (f64x2.pmin (local.get $lowest) (local.get $x)))
      (local.set $x
        (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23
          (local.get $x) (f64x2.mul (local.get $x) (local.get $x))))
      (local.set $all (f64x2.add (local.get $all) (local.get $x)))
      (local.set $stretch (f64x2.add (local.get $stretch) (local.get $x)))))
  (v128.store (local.get $sums) (local.get $all))
  (v128.store offset=16 (local.get $sums) (local.get $stretch))
  (f64.store offset=32 (local.get $sums)
    (f64.max (f64x2.extract_lane 0 (local.get $highest)) (f64x2.extract_lane 1 (local.get $highest))))
  (f64.store offset=40 (local.get $sums)
    (f64.min (f64x2.extract_lane 0 (local.get $lowest)) (f64x2.extract_lane 1 (local.get $lowest)))))

;; Number of the first of `count` samples that equals the one before it; `count` where none does.
(func (export "firstEqual") (param $samples i32) (param $count i32) (result i32)
  (local $at i32) (local $end i32) (local $wide i32)
  (local.set $at (local.get $samples))
  (local.set $wide (i32.add (local.get $samples) (i32.shl (i32.and (local.get $count) (i32.const -8)) (i32.const 3))))
  (local.set $end (i32.add (local.get $samples) (i32.shl (local.get $count) (i32.const 3))))
  (block $near
    (loop $eight
      (br_if $near (i32.ge_u (local.get $at) (local.get $wide)))
      (br_if $near
        (v128.any_true
          (v128.or
            (v128.or
              (f64x2.eq (v128.load (local.get $at)) (v128.load (i32.sub (local.get $at) (i32.const 8))))
              (f64x2.eq (v128.load offset=16 (local.get $at))
                (v128.load offset=16 (i32.sub (local.get $at) (i32.const 8)))))
            (v128.or
              (f64x2.eq (v128.load offset=32 (local.get $at))
                (v128.load offset=32 (i32.sub (local.get $at) (i32.const 8))))
              (f64x2.eq (v128.load offset=48 (local.get $at))
                (v128.load offset=48 (i32.sub (local.get $at) (i32.const 8))))))))
      (local.set $at (i32.add (local.get $at) (i32.const 64)))
      (br $eight)))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $at) (local.get $end)))
      (br_if $done
        (f64.eq (f64.load (local.get $at)) (f64.load (i32.sub (local.get $at) (i32.const 8)))))
      (local.set $at (i32.add (local.get $at) (i32.const 8)))
      (br $each)))
  (i32.shr_u (i32.sub (local.get $at) (local.get $samples)) (i32.const 3)))

;; Number of the first of `count` samples that is 0; `count` where none is.
(func (export "firstZero") (param $samples i32) (param $count i32) (result i32)
  (local $at i32) (local $end i32) (local $wide i32) (local $zero v128)
  (local.set $at (local.get $samples))
  (local.set $wide (i32.add (local.get $samples) (i32.shl (i32.and (local.get $count) (i32.const -8)) (i32.const 3))))
  (local.set $end (i32.add (local.get $samples) (i32.shl (local.get $count) (i32.const 3))))
  (block $near
    (loop $eight
      (br_if $near (i32.ge_u (local.get $at) (local.get $wide)))
      (br_if $near
        (v128.any_true
          (v128.or
            (v128.or
              (f64x2.eq (v128.load (local.get $at)) (local.get $zero))
              (f64x2.eq (v128.load offset=16 (local.get $at)) (local.get $zero)))
            (v128.or
              (f64x2.eq (v128.load offset=32 (local.get $at)) (local.get $zero))
              (f64x2.eq (v128.load offset=48 (local.get $at)) (local.get $zero))))))
      (local.set $at (i32.add (local.get $at) (i32.const 64)))
      (br $eight)))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $at) (local.get $end)))
      (br_if $done (f64.eq (f64.load (local.get $at)) (f64.const 0)))
      (local.set $at (i32.add (local.get $at) (i32.const 8)))
      (br $each)))
  (i32.shr_u (i32.sub (local.get $at) (local.get $samples)) (i32.const 3)))
