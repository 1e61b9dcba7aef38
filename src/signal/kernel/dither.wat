;; Rounds `count` samples in place to words of a step of 1 / `full` with triangular dither; see src/signal/dither.ts. `state`: the four
;; words of the generator.
(func (export "dither") (param $samples i32) (param $count i32) (param $state i32) (param $full f64)
  (local $end i32) (local $a i32) (local $b i32) (local $c i32) (local $counter i32) (local $draw i32)
  (local $word f64) (local $step f64) (local $lowest f64) (local $highest f64)
  (local.set $a (i32.load (local.get $state)))
  (local.set $b (i32.load offset=4 (local.get $state)))
  (local.set $c (i32.load offset=8 (local.get $state)))
  (local.set $counter (i32.load offset=12 (local.get $state)))
  (local.set $step (f64.div (f64.const 1) (local.get $full)))
  (local.set $lowest (f64.neg (local.get $full)))
  (local.set $highest (f64.sub (local.get $full) (f64.const 1)))
  (local.set $end (i32.add (local.get $samples) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $samples) (local.get $end)))
      (local.set $draw (i32.add (i32.add (local.get $a) (local.get $b)) (local.get $counter)))
      (local.set $counter (i32.add (local.get $counter) (i32.const 1)))
      (local.set $a (i32.xor (local.get $b) (i32.shr_u (local.get $b) (i32.const 9))))
      (local.set $b (i32.add (local.get $c) (i32.shl (local.get $c) (i32.const 3))))
      (local.set $c (i32.add (i32.rotl (local.get $c) (i32.const 21)) (local.get $draw)))
      (local.set $word
        (f64.floor
          (f64.add
            (f64.add
              (f64.mul (f64.load (local.get $samples)) (local.get $full))
              (f64.mul
                (f64.convert_i32_s
                  (i32.sub
                    (i32.shr_u (local.get $draw) (i32.const 16))
                    (i32.and (local.get $draw) (i32.const 0xffff))))
                (f64.const 0x1p-16)))
            (f64.const 0.5))))
      (local.set $word
        (select (local.get $lowest) (local.get $word) (f64.lt (local.get $word) (local.get $lowest))))
      (local.set $word
        (select (local.get $highest) (local.get $word) (f64.gt (local.get $word) (local.get $highest))))
      (f64.store (local.get $samples) (f64.mul (local.get $word) (local.get $step)))
      (local.set $samples (i32.add (local.get $samples) (i32.const 8)))
      (br $each)))
  (i32.store (local.get $state) (local.get $a))
  (i32.store offset=4 (local.get $state) (local.get $b))
  (i32.store offset=8 (local.get $state) (local.get $c))
  (i32.store offset=12 (local.get $state) (local.get $counter)))
