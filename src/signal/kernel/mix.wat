;; samples[i] = samples[i] * gain + 0: zeros come out as +0.
(func (export "scale") (param $samples i32) (param $count i32) (param $gain f64)
  (local $end i32) (local $g v128) (local $zero v128)
  (local.set $g (f64x2.splat (local.get $gain)))
  (local.set $end (i32.add (local.get $samples) (i32.shl (i32.and (local.get $count) (i32.const -2)) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $samples) (local.get $end)))
      (v128.store (local.get $samples)
        (f64x2.add (f64x2.mul (v128.load (local.get $samples)) (local.get $g)) (local.get $zero)))
      (local.set $samples (i32.add (local.get $samples) (i32.const 16)))
      (br $each)))
  (if (i32.and (local.get $count) (i32.const 1))
    (then
      (f64.store (local.get $samples)
        (f64.add (f64.mul (f64.load (local.get $samples)) (local.get $gain)) (f64.const 0))))))

;; total[i] = total[i] + gain * samples[i].
(func (export "addScaled") (param $total i32) (param $samples i32) (param $count i32) (param $gain f64)
  (local $end i32) (local $g v128)
  (local.set $g (f64x2.splat (local.get $gain)))
  (local.set $end (i32.add (local.get $total) (i32.shl (i32.and (local.get $count) (i32.const -2)) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $total) (local.get $end)))
      (v128.store (local.get $total)
        (f64x2.add (v128.load (local.get $total)) (f64x2.mul (local.get $g) (v128.load (local.get $samples)))))
      (local.set $total (i32.add (local.get $total) (i32.const 16)))
      (local.set $samples (i32.add (local.get $samples) (i32.const 16)))
      (br $each)))
  (if (i32.and (local.get $count) (i32.const 1))
    (then
      (f64.store (local.get $total)
        (f64.add (f64.load (local.get $total)) (f64.mul (local.get $gain) (f64.load (local.get $samples))))))))
