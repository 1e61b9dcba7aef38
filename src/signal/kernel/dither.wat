;; Rounds `count` samples in place to words of a step of 1 / `full` with triangular dither; see src/signal/dither.ts. `state`: the four
;; words of the generator. Two samples at a time: the draws come one after the other, what is made of them side by side.
(func (export "dither") (param $samples i32) (param $count i32) (param $state i32) (param $full f64)
  (local $end i32) (local $a i32) (local $b i32) (local $c i32) (local $counter i32) (local $draw i32) (local $next i32)
  (local $fulls v128) (local $step v128) (local $lowest v128) (local $highest v128) (local $word v128)
  (local.set $a (i32.load (local.get $state)))
  (local.set $b (i32.load offset=4 (local.get $state)))
  (local.set $c (i32.load offset=8 (local.get $state)))
  (local.set $counter (i32.load offset=12 (local.get $state)))
  (local.set $fulls (f64x2.splat (local.get $full)))
  (local.set $step (f64x2.splat (f64.div (f64.const 1) (local.get $full))))
  (local.set $lowest (f64x2.splat (f64.neg (local.get $full))))
  (local.set $highest (f64x2.splat (f64.sub (local.get $full) (f64.const 1))))
  (local.set $end (i32.add (local.get $samples) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $samples) (local.get $end)))
      (local.set $draw (i32.add (i32.add (local.get $a) (local.get $b)) (local.get $counter)))
      (local.set $counter (i32.add (local.get $counter) (i32.const 1)))
      (local.set $a (i32.xor (local.get $b) (i32.shr_u (local.get $b) (i32.const 9))))
      (local.set $b (i32.add (local.get $c) (i32.shl (local.get $c) (i32.const 3))))
      (local.set $c (i32.add (i32.rotl (local.get $c) (i32.const 21)) (local.get $draw)))
      ;; The last sample of an odd number stands alone: both halves are it, and one is stored.
      (if (i32.eq (i32.add (local.get $samples) (i32.const 8)) (local.get $end))
        (then
          (local.set $next (local.get $draw))
          (local.set $word (v128.load64_splat (local.get $samples))))
        (else
          (local.set $next (i32.add (i32.add (local.get $a) (local.get $b)) (local.get $counter)))
          (local.set $counter (i32.add (local.get $counter) (i32.const 1)))
          (local.set $a (i32.xor (local.get $b) (i32.shr_u (local.get $b) (i32.const 9))))
          (local.set $b (i32.add (local.get $c) (i32.shl (local.get $c) (i32.const 3))))
          (local.set $c (i32.add (i32.rotl (local.get $c) (i32.const 21)) (local.get $next)))
          (local.set $word (v128.load (local.get $samples)))))
      (local.set $word
        (f64x2.floor
          (f64x2.add
            (f64x2.add
              (f64x2.mul (local.get $word) (local.get $fulls))
              (f64x2.mul
                (f64x2.convert_low_i32x4_s
                  (i32x4.replace_lane 1
                    (i32x4.splat
                      (i32.sub
                        (i32.shr_u (local.get $draw) (i32.const 16))
                        (i32.and (local.get $draw) (i32.const 0xffff))))
                    (i32.sub
                      (i32.shr_u (local.get $next) (i32.const 16))
                      (i32.and (local.get $next) (i32.const 0xffff)))))
                (v128.const f64x2 0x1p-16 0x1p-16)))
            (v128.const f64x2 0.5 0.5))))
      (local.set $word (f64x2.pmax (f64x2.pmin (local.get $word) (local.get $highest)) (local.get $lowest)))
      (local.set $word (f64x2.mul (local.get $word) (local.get $step)))
      (if (i32.eq (i32.add (local.get $samples) (i32.const 8)) (local.get $end))
        (then (v128.store64_lane 0 (local.get $samples) (local.get $word)))
        (else (v128.store (local.get $samples) (local.get $word))))
      (local.set $samples (i32.add (local.get $samples) (i32.const 16)))
      (br $each)))
  (i32.store (local.get $state) (local.get $a))
  (i32.store offset=4 (local.get $state) (local.get $b))
  (i32.store offset=8 (local.get $state) (local.get $c))
  (i32.store offset=12 (local.get $state) (local.get $counter)))
