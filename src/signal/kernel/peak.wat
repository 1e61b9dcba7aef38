;; Largest absolute value of `count` samples, 0 for none.
(func $largest (export "largest") (param $at i32) (param $count i32) (result f64)
  (local $end i32) (local $a v128) (local $b v128) (local $last f64)
  (local.set $end (i32.add (local.get $at) (i32.shl (i32.and (local.get $count) (i32.const -4)) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $at) (local.get $end)))
      (local.set $a (f64x2.pmax (local.get $a) (f64x2.abs (v128.load (local.get $at)))))
      (local.set $b (f64x2.pmax (local.get $b) (f64x2.abs (v128.load offset=16 (local.get $at)))))
      (local.set $at (i32.add (local.get $at) (i32.const 32)))
      (br $each)))
  (local.set $a (f64x2.pmax (local.get $a) (local.get $b)))
  (local.set $last (f64.max (f64x2.extract_lane 0 (local.get $a)) (f64x2.extract_lane 1 (local.get $a))))
  (local.set $end (i32.add (local.get $at) (i32.shl (i32.and (local.get $count) (i32.const 3)) (i32.const 3))))
  (block $doneTail
    (loop $tail
      (br_if $doneTail (i32.ge_u (local.get $at) (local.get $end)))
      (local.set $last (f64.max (local.get $last) (f64.abs (f64.load (local.get $at)))))
      (local.set $at (i32.add (local.get $at) (i32.const 8)))
      (br $tail)))
  (local.get $last))

;; Largest absolute second difference, x[i - 1] - 2 x[i] + x[i + 1], of `count` samples, 3 or more: of all but the first and the last.
(func $bend (param $at i32) (param $count i32) (result f64)
  (local $end i32) (local $a v128) (local $middle v128) (local $x v128)
  (local.set $end (i32.add (local.get $at) (i32.shl (i32.sub (local.get $count) (i32.const 2)) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (i32.add (local.get $at) (i32.const 8)) (local.get $end)))
      (local.set $middle (v128.load offset=8 (local.get $at)))
      (local.set $a
        (f64x2.pmax (local.get $a)
          (f64x2.abs
            (f64x2.sub
              (f64x2.add (v128.load (local.get $at)) (v128.load offset=16 (local.get $at)))
              (f64x2.add (local.get $middle) (local.get $middle))))))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (br $each)))
  (if (i32.lt_u (local.get $at) (local.get $end))
    (then
      (local.set $x (v128.load64_splat offset=8 (local.get $at)))
      (local.set $a
        (f64x2.pmax (local.get $a)
          (f64x2.abs
            (f64x2.sub
              (f64x2.add (v128.load64_splat (local.get $at)) (v128.load64_splat offset=16 (local.get $at)))
              (f64x2.add (local.get $x) (local.get $x))))))))
  (f64.max (f64x2.extract_lane 0 (local.get $a)) (f64x2.extract_lane 1 (local.get $a))))

;; The larger of `peak` and of what `count` positions of `work` hold, at the frames and at `points` places between, in groups of `group`
;; frames; see src/signal/true-peak.ts. `taps`: the filters of the points, each
;; `tapCount` long; `between`: room for a group.
(func (export "truePeak")
  (param $work i32) (param $count i32) (param $taps i32) (param $tapCount i32) (param $points i32)
  (param $group i32) (param $between i32) (param $bound f64) (param $near f64) (param $bent f64) (param $peak f64) (result f64)
  (local $length i32) (local $point i32) (local $around i32) (local $most f64)
  (block $done
    (loop $groups
      (br_if $done (i32.le_s (local.get $count) (i32.const 0)))
      (local.set $length (select (local.get $group) (local.get $count) (i32.lt_s (local.get $group) (local.get $count))))
      (local.set $around (i32.sub (i32.add (local.get $length) (local.get $tapCount)) (i32.const 1)))
      (local.set $most (call $largest (local.get $work) (local.get $around)))
      (if (f64.gt (f64.mul (local.get $most) (local.get $bound)) (local.get $peak))
        (then
          (if
            (f64.gt
              (f64.add
                (f64.mul (local.get $most) (local.get $near))
                (f64.mul (call $bend (local.get $work) (local.get $around)) (local.get $bent)))
              (local.get $peak))
            (then
              (local.set $peak
                (f64.max (local.get $peak)
                  (call $largest
                    (i32.add (local.get $work)
                      (i32.shl (i32.sub (i32.shr_u (local.get $tapCount) (i32.const 1)) (i32.const 1)) (i32.const 3)))
                    (local.get $length))))
              (local.set $point (i32.const 0))
              (loop $each
                (call $fir
                  (i32.add (local.get $taps)
                    (i32.shl (i32.mul (local.get $point) (local.get $tapCount)) (i32.const 3)))
                  (local.get $tapCount) (local.get $work) (local.get $between) (local.get $length))
                (local.set $peak
                  (f64.max (local.get $peak) (call $largest (local.get $between) (local.get $length))))
                (br_if $each
                  (i32.lt_u (local.tee $point (i32.add (local.get $point) (i32.const 1))) (local.get $points))))))))
      (local.set $work (i32.add (local.get $work) (i32.shl (local.get $length) (i32.const 3))))
      (local.set $count (i32.sub (local.get $count) (local.get $length)))
      (br $groups)))
  (local.get $peak))
