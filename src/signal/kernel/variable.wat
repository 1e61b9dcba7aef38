;; A filter that changes from output to output; see src/signal/variable-delay.ts. `places`: for every output 16 bytes: bytes from
;; `input` to its first frame and bytes from `table` to its row (32 bit each), and how far it lies between this row and the next; of a last one
;; alone twice. `rowBytes`: from one row to the next, a multiple of 16. Two outputs at a time.
(func (export "variable")
  (param $table i32) (param $rowBytes i32) (param $input i32) (param $places i32) (param $output i32) (param $count i32)
  (local $end i32) (local $tapEnd i32) (local $a i32) (local $b i32) (local $x i32) (local $y i32) (local $v v128)
  (local $s0 v128) (local $s1 v128) (local $t0 v128) (local $t1 v128) (local $first f64)
  (local.set $end (i32.add (local.get $output) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $outputs
      (br_if $done (i32.ge_u (local.get $output) (local.get $end)))
      (local.set $x (i32.add (local.get $input) (i32.load (local.get $places))))
      (local.set $a (i32.add (local.get $table) (i32.load offset=4 (local.get $places))))
      (local.set $y (i32.add (local.get $input) (i32.load offset=16 (local.get $places))))
      (local.set $b (i32.add (local.get $table) (i32.load offset=20 (local.get $places))))
      (local.set $tapEnd (i32.add (local.get $a) (local.get $rowBytes)))
      (local.set $s0 (v128.const i64x2 0 0)) (local.set $s1 (v128.const i64x2 0 0))
      (local.set $t0 (v128.const i64x2 0 0)) (local.set $t1 (v128.const i64x2 0 0))
      (loop $each
        (local.set $v (v128.load (local.get $x)))
        (local.set $s0 (f64x2.add (local.get $s0) (f64x2.mul (v128.load (local.get $a)) (local.get $v))))
        (local.set $s1
          (f64x2.add (local.get $s1)
            (f64x2.mul (v128.load (i32.add (local.get $a) (local.get $rowBytes))) (local.get $v))))
        (local.set $v (v128.load (local.get $y)))
        (local.set $t0 (f64x2.add (local.get $t0) (f64x2.mul (v128.load (local.get $b)) (local.get $v))))
        (local.set $t1
          (f64x2.add (local.get $t1)
            (f64x2.mul (v128.load (i32.add (local.get $b) (local.get $rowBytes))) (local.get $v))))
        (local.set $x (i32.add (local.get $x) (i32.const 16)))
        (local.set $y (i32.add (local.get $y) (i32.const 16)))
        (local.set $b (i32.add (local.get $b) (i32.const 16)))
        (br_if $each (i32.lt_u (local.tee $a (i32.add (local.get $a) (i32.const 16))) (local.get $tapEnd))))
      (local.set $first (f64.add (f64x2.extract_lane 0 (local.get $s0)) (f64x2.extract_lane 1 (local.get $s0))))
      (f64.store (local.get $output)
        (f64.add (local.get $first)
          (f64.mul (f64.load offset=8 (local.get $places))
            (f64.sub
              (f64.add (f64x2.extract_lane 0 (local.get $s1)) (f64x2.extract_lane 1 (local.get $s1)))
              (local.get $first)))))
      (local.set $output (i32.add (local.get $output) (i32.const 8)))
      (br_if $done (i32.ge_u (local.get $output) (local.get $end)))
      (local.set $first (f64.add (f64x2.extract_lane 0 (local.get $t0)) (f64x2.extract_lane 1 (local.get $t0))))
      (f64.store (local.get $output)
        (f64.add (local.get $first)
          (f64.mul (f64.load offset=24 (local.get $places))
            (f64.sub
              (f64.add (f64x2.extract_lane 0 (local.get $t1)) (f64x2.extract_lane 1 (local.get $t1)))
              (local.get $first)))))
      (local.set $output (i32.add (local.get $output) (i32.const 8)))
      (local.set $places (i32.add (local.get $places) (i32.const 32)))
      (br $outputs))))
