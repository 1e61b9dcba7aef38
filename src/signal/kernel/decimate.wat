;; output[k] = sum over i of taps[i] * input[k * factor + i], two outputs at a time. `tapCount`: a multiple of 4, `step`: the factor in
;; bytes. Four sums, of the taps 0 and 1, 2 and 3 of every four; see src/signal/plain/fir.ts.
(func (export "strided")
  (param $taps i32) (param $tapCount i32) (param $input i32) (param $step i32) (param $output i32) (param $count i32)
  (local $tap i32) (local $tapEnd i32) (local $at i32) (local $other i32) (local $end i32) (local $t v128)
  (local $a v128) (local $b v128) (local $c v128) (local $d v128)
  (local.set $tapEnd (i32.add (local.get $taps) (i32.shl (local.get $tapCount) (i32.const 3))))
  (local.set $end (i32.add (local.get $output) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $outputs
      (br_if $done (i32.ge_u (local.get $output) (local.get $end)))
      (local.set $a (v128.const i64x2 0 0)) (local.set $b (v128.const i64x2 0 0))
      (local.set $c (v128.const i64x2 0 0)) (local.set $d (v128.const i64x2 0 0))
      (local.set $tap (local.get $taps))
      (local.set $at (local.get $input))
      ;; The last output of an odd number is made twice.
      (local.set $other
        (select
          (local.get $input)
          (i32.add (local.get $input) (local.get $step))
          (i32.eq (i32.add (local.get $output) (i32.const 8)) (local.get $end))))
      (loop $each
        (local.set $t (v128.load (local.get $tap)))
        (local.set $a (f64x2.add (local.get $a) (f64x2.mul (local.get $t) (v128.load (local.get $at)))))
        (local.set $c (f64x2.add (local.get $c) (f64x2.mul (local.get $t) (v128.load (local.get $other)))))
        (local.set $t (v128.load offset=16 (local.get $tap)))
        (local.set $b (f64x2.add (local.get $b) (f64x2.mul (local.get $t) (v128.load offset=16 (local.get $at)))))
        (local.set $d (f64x2.add (local.get $d) (f64x2.mul (local.get $t) (v128.load offset=16 (local.get $other)))))
        (local.set $at (i32.add (local.get $at) (i32.const 32)))
        (local.set $other (i32.add (local.get $other) (i32.const 32)))
        (br_if $each (i32.lt_u (local.tee $tap (i32.add (local.get $tap) (i32.const 32))) (local.get $tapEnd))))
      (local.set $a (f64x2.add (local.get $a) (local.get $b)))
      (f64.store (local.get $output)
        (f64.add (f64x2.extract_lane 0 (local.get $a)) (f64x2.extract_lane 1 (local.get $a))))
      (local.set $output (i32.add (local.get $output) (i32.const 8)))
      (br_if $done (i32.ge_u (local.get $output) (local.get $end)))
      (local.set $c (f64x2.add (local.get $c) (local.get $d)))
      (f64.store (local.get $output)
        (f64.add (f64x2.extract_lane 0 (local.get $c)) (f64x2.extract_lane 1 (local.get $c))))
      (local.set $output (i32.add (local.get $output) (i32.const 8)))
      (local.set $input (i32.add (local.get $input) (i32.shl (local.get $step) (i32.const 1))))
      (br $outputs))))
