;; Averaged spectra in single precision: real parts in one array, imaginary parts `apart` bytes behind. Sums are doubles, and so laid out too.
;; The same bits as src/signal/plain/single-sums.ts.

;; into = window * samples, rounded to single precision: even ones to `into`, odd ones `apart` bytes behind. Results: sum of the squares of
;; the product and sum of the product. `count`: a multiple of 4.
(func (export "singleWindow")
  (param $window i32) (param $samples i32) (param $into i32) (param $apart i32) (param $count i32) (param $results i32)
  (local $end i32) (local $a v128) (local $b v128)
  (local $e0 v128) (local $e1 v128) (local $s0 v128) (local $s1 v128)
  (local.set $end (i32.add (local.get $window) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $window) (local.get $end)))
      (local.set $a (f64x2.mul (v128.load (local.get $window)) (v128.load (local.get $samples))))
      (local.set $b (f64x2.mul (v128.load offset=16 (local.get $window)) (v128.load offset=16 (local.get $samples))))
      (local.set $e0 (f64x2.add (local.get $e0) (f64x2.mul (local.get $a) (local.get $a))))
      (local.set $e1 (f64x2.add (local.get $e1) (f64x2.mul (local.get $b) (local.get $b))))
      (local.set $s0 (f64x2.add (local.get $s0) (local.get $a)))
      (local.set $s1 (f64x2.add (local.get $s1) (local.get $b)))
      (local.set $a
        (i8x16.shuffle 0 1 2 3 16 17 18 19 4 5 6 7 20 21 22 23
          (f32x4.demote_f64x2_zero (local.get $a)) (f32x4.demote_f64x2_zero (local.get $b))))
      (v128.store64_lane 0 (local.get $into) (local.get $a))
      (v128.store64_lane 1 (i32.add (local.get $into) (local.get $apart)) (local.get $a))
      (local.set $window (i32.add (local.get $window) (i32.const 32)))
      (local.set $samples (i32.add (local.get $samples) (i32.const 32)))
      (local.set $into (i32.add (local.get $into) (i32.const 8)))
      (br $each)))
  (local.set $e0 (f64x2.add (local.get $e0) (local.get $e1)))
  (local.set $s0 (f64x2.add (local.get $s0) (local.get $s1)))
  (f64.store (local.get $results)
    (f64.add (f64x2.extract_lane 0 (local.get $e0)) (f64x2.extract_lane 1 (local.get $e0))))
  (f64.store offset=8 (local.get $results)
    (f64.add (f64x2.extract_lane 0 (local.get $s0)) (f64x2.extract_lane 1 (local.get $s0)))))

;; frame[n] -= mean * window[n] for `count` numbers, a multiple of 4.
(func (export "singleMeanOff") (param $frame i32) (param $window i32) (param $count i32) (param $mean f32)
  (local $end i32) (local $m v128)
  (local.set $m (f32x4.splat (local.get $mean)))
  (local.set $end (i32.add (local.get $frame) (i32.shl (local.get $count) (i32.const 2))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $frame) (local.get $end)))
      (v128.store (local.get $frame)
        (f32x4.sub (v128.load (local.get $frame)) (f32x4.mul (local.get $m) (v128.load (local.get $window)))))
      (local.set $frame (i32.add (local.get $frame) (i32.const 16)))
      (local.set $window (i32.add (local.get $window) (i32.const 16)))
      (br $each))))

;; sums[k] += weight * |X[k]|^2 for `count` bins, a multiple of 4. Returns the sum of what was added.
(func (export "singlePower")
  (param $x i32) (param $apart i32) (param $count i32) (param $weight f64) (param $sums i32) (result f64)
  (local $end i32) (local $w v128) (local $re v128) (local $im v128) (local $a v128) (local $b v128)
  (local $e0 v128) (local $e1 v128)
  (local.set $w (f64x2.splat (local.get $weight)))
  (local.set $end (i32.add (local.get $x) (i32.shl (local.get $count) (i32.const 2))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $x) (local.get $end)))
      (local.set $re (v128.load (local.get $x)))
      (local.set $im (v128.load (i32.add (local.get $x) (local.get $apart))))
      (local.set $re
        (f32x4.add (f32x4.mul (local.get $re) (local.get $re)) (f32x4.mul (local.get $im) (local.get $im))))
      (local.set $a (f64x2.mul (local.get $w) (f64x2.promote_low_f32x4 (local.get $re))))
      (local.set $b
        (f64x2.mul (local.get $w)
          (f64x2.promote_low_f32x4
            (i8x16.shuffle 8 9 10 11 12 13 14 15 8 9 10 11 12 13 14 15 (local.get $re) (local.get $re)))))
      (local.set $e0 (f64x2.add (local.get $e0) (local.get $a)))
      (local.set $e1 (f64x2.add (local.get $e1) (local.get $b)))
      (v128.store (local.get $sums) (f64x2.add (v128.load (local.get $sums)) (local.get $a)))
      (v128.store offset=16 (local.get $sums) (f64x2.add (v128.load offset=16 (local.get $sums)) (local.get $b)))
      (local.set $x (i32.add (local.get $x) (i32.const 16)))
      (local.set $sums (i32.add (local.get $sums) (i32.const 32)))
      (br $each)))
  (local.set $e0 (f64x2.add (local.get $e0) (local.get $e1)))
  (f64.add (f64x2.extract_lane 0 (local.get $e0)) (f64x2.extract_lane 1 (local.get $e0))))

;; sums += conj(X) Y for `count` bins, a multiple of 4, over four frames, which lie `frame` bytes apart in both. The four are added in single
;; precision, their sum in double.
(func (export "singleCross4")
  (param $x i32) (param $y i32) (param $frame i32) (param $apart i32) (param $count i32) (param $sums i32) (param $sumsApart i32)
  (local $end i32) (local $at i32) (local $bt i32)
  (local $xr v128) (local $xi v128) (local $yr v128) (local $yi v128) (local $re v128) (local $im v128)
  (local.set $end (i32.add (local.get $x) (i32.shl (local.get $count) (i32.const 2))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $x) (local.get $end)))
      (local.set $at (local.get $x))
      (local.set $bt (local.get $y))
      (local.set $xr (v128.load (local.get $at)))
      (local.set $xi (v128.load (i32.add (local.get $at) (local.get $apart))))
      (local.set $yr (v128.load (local.get $bt)))
      (local.set $yi (v128.load (i32.add (local.get $bt) (local.get $apart))))
      (local.set $re
        (f32x4.add (f32x4.mul (local.get $xr) (local.get $yr)) (f32x4.mul (local.get $xi) (local.get $yi))))
      (local.set $im
        (f32x4.sub (f32x4.mul (local.get $xr) (local.get $yi)) (f32x4.mul (local.get $xi) (local.get $yr))))
      (local.set $at (i32.add (local.get $at) (local.get $frame)))
      (local.set $bt (i32.add (local.get $bt) (local.get $frame)))
      (local.set $xr (v128.load (local.get $at)))
      (local.set $xi (v128.load (i32.add (local.get $at) (local.get $apart))))
      (local.set $yr (v128.load (local.get $bt)))
      (local.set $yi (v128.load (i32.add (local.get $bt) (local.get $apart))))
      (local.set $re
        (f32x4.add (local.get $re)
          (f32x4.add (f32x4.mul (local.get $xr) (local.get $yr)) (f32x4.mul (local.get $xi) (local.get $yi)))))
      (local.set $im
        (f32x4.add (local.get $im)
          (f32x4.sub (f32x4.mul (local.get $xr) (local.get $yi)) (f32x4.mul (local.get $xi) (local.get $yr)))))
      (local.set $at (i32.add (local.get $at) (local.get $frame)))
      (local.set $bt (i32.add (local.get $bt) (local.get $frame)))
      (local.set $xr (v128.load (local.get $at)))
      (local.set $xi (v128.load (i32.add (local.get $at) (local.get $apart))))
      (local.set $yr (v128.load (local.get $bt)))
      (local.set $yi (v128.load (i32.add (local.get $bt) (local.get $apart))))
      (local.set $re
        (f32x4.add (local.get $re)
          (f32x4.add (f32x4.mul (local.get $xr) (local.get $yr)) (f32x4.mul (local.get $xi) (local.get $yi)))))
      (local.set $im
        (f32x4.add (local.get $im)
          (f32x4.sub (f32x4.mul (local.get $xr) (local.get $yi)) (f32x4.mul (local.get $xi) (local.get $yr)))))
      (local.set $at (i32.add (local.get $at) (local.get $frame)))
      (local.set $bt (i32.add (local.get $bt) (local.get $frame)))
      (local.set $xr (v128.load (local.get $at)))
      (local.set $xi (v128.load (i32.add (local.get $at) (local.get $apart))))
      (local.set $yr (v128.load (local.get $bt)))
      (local.set $yi (v128.load (i32.add (local.get $bt) (local.get $apart))))
      (local.set $re
        (f32x4.add (local.get $re)
          (f32x4.add (f32x4.mul (local.get $xr) (local.get $yr)) (f32x4.mul (local.get $xi) (local.get $yi)))))
      (local.set $im
        (f32x4.add (local.get $im)
          (f32x4.sub (f32x4.mul (local.get $xr) (local.get $yi)) (f32x4.mul (local.get $xi) (local.get $yr)))))
      (v128.store (local.get $sums)
        (f64x2.add (v128.load (local.get $sums)) (f64x2.promote_low_f32x4 (local.get $re))))
      (v128.store offset=16 (local.get $sums)
        (f64x2.add (v128.load offset=16 (local.get $sums))
          (f64x2.promote_low_f32x4
            (i8x16.shuffle 8 9 10 11 12 13 14 15 8 9 10 11 12 13 14 15 (local.get $re) (local.get $re)))))
      (local.set $at (i32.add (local.get $sums) (local.get $sumsApart)))
      (v128.store (local.get $at)
        (f64x2.add (v128.load (local.get $at)) (f64x2.promote_low_f32x4 (local.get $im))))
      (v128.store offset=16 (local.get $at)
        (f64x2.add (v128.load offset=16 (local.get $at))
          (f64x2.promote_low_f32x4
            (i8x16.shuffle 8 9 10 11 12 13 14 15 8 9 10 11 12 13 14 15 (local.get $im) (local.get $im)))))
      (local.set $x (i32.add (local.get $x) (i32.const 16)))
      (local.set $y (i32.add (local.get $y) (i32.const 16)))
      (local.set $sums (i32.add (local.get $sums) (i32.const 32)))
      (br $each))))

;; total[k] += part[k], and part[k] = 0.
(func (export "moveInto") (param $total i32) (param $part i32) (param $count i32)
  (local $end i32)
  (local.set $end (i32.add (local.get $total) (i32.shl (i32.and (local.get $count) (i32.const -2)) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $total) (local.get $end)))
      (v128.store (local.get $total) (f64x2.add (v128.load (local.get $total)) (v128.load (local.get $part))))
      (v128.store (local.get $part) (v128.const i64x2 0 0))
      (local.set $total (i32.add (local.get $total) (i32.const 16)))
      (local.set $part (i32.add (local.get $part) (i32.const 16)))
      (br $each)))
  (if (i32.and (local.get $count) (i32.const 1))
    (then
      (f64.store (local.get $total) (f64.add (f64.load (local.get $total)) (f64.load (local.get $part))))
      (f64.store (local.get $part) (f64.const 0)))))
