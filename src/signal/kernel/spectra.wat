;; sums[k] += weight * (re * re + im * im) for every bin; spectra interleaved. Returns the sum of what was added: even bins of the stretch,
;; odd ones, then the last where their number is odd.
(func (export "addPower") (param $x i32) (param $bins i32) (param $weight f64) (param $sums i32) (result f64)
  (local $end i32) (local $a v128) (local $b v128) (local $w v128) (local $energy v128) (local $all f64) (local $last f64)
  (local.set $w (f64x2.splat (local.get $weight)))
  (local.set $end (i32.add (local.get $sums) (i32.shl (i32.and (local.get $bins) (i32.const -2)) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $sums) (local.get $end)))
      (local.set $a (v128.load (local.get $x)))
      (local.set $b (v128.load offset=16 (local.get $x)))
      (local.set $a (f64x2.mul (local.get $a) (local.get $a)))
      (local.set $b (f64x2.mul (local.get $b) (local.get $b)))
      (local.set $a
        (f64x2.mul (local.get $w)
          (f64x2.add
            (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $a) (local.get $b))
            (i8x16.shuffle 8 9 10 11 12 13 14 15 24 25 26 27 28 29 30 31 (local.get $a) (local.get $b)))))
      (local.set $energy (f64x2.add (local.get $energy) (local.get $a)))
      (v128.store (local.get $sums) (f64x2.add (v128.load (local.get $sums)) (local.get $a)))
      (local.set $x (i32.add (local.get $x) (i32.const 32)))
      (local.set $sums (i32.add (local.get $sums) (i32.const 16)))
      (br $each)))
  (local.set $all (f64.add (f64x2.extract_lane 0 (local.get $energy)) (f64x2.extract_lane 1 (local.get $energy))))
  (if (i32.and (local.get $bins) (i32.const 1))
    (then
      (local.set $last
        (f64.mul (local.get $weight)
          (f64.add
            (f64.mul (f64.load (local.get $x)) (f64.load (local.get $x)))
            (f64.mul (f64.load offset=8 (local.get $x)) (f64.load offset=8 (local.get $x))))))
      (f64.store (local.get $sums) (f64.add (f64.load (local.get $sums)) (local.get $last)))
      (local.set $all (f64.add (local.get $all) (local.get $last)))))
  (local.get $all))

;; sums += conj(x) y for every bin, all three interleaved: first the product of the real parts (of x's with y's imaginary part), then
;; the other one.
(func (export "addCross") (param $x i32) (param $y i32) (param $bins i32) (param $sums i32)
  (local $end i32) (local $b v128) (local $c v128) (local $d v128)
  (local.set $end (i32.add (local.get $sums) (i32.shl (i32.and (local.get $bins) (i32.const -2)) (i32.const 4))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $sums) (local.get $end)))
      (local.set $b (v128.load (local.get $y)))
      (local.set $d (v128.load offset=16 (local.get $y)))
      (v128.store (local.get $sums)
        (f64x2.add
          (f64x2.add (v128.load (local.get $sums)) (f64x2.mul (v128.load64_splat (local.get $x)) (local.get $b)))
          (f64x2.mul (v128.load64_splat offset=8 (local.get $x))
            (v128.xor (v128.const i64x2 0 0x8000000000000000)
              (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $b) (local.get $b))))))
      (v128.store offset=16 (local.get $sums)
        (f64x2.add
          (f64x2.add (v128.load offset=16 (local.get $sums))
            (f64x2.mul (v128.load64_splat offset=16 (local.get $x)) (local.get $d)))
          (f64x2.mul (v128.load64_splat offset=24 (local.get $x))
            (v128.xor (v128.const i64x2 0 0x8000000000000000)
              (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $d) (local.get $d))))))
      (local.set $x (i32.add (local.get $x) (i32.const 32)))
      (local.set $y (i32.add (local.get $y) (i32.const 32)))
      (local.set $sums (i32.add (local.get $sums) (i32.const 32)))
      (br $each)))
  (if (i32.and (local.get $bins) (i32.const 1))
    (then
      (local.set $b (v128.load (local.get $y)))
      (v128.store (local.get $sums)
        (f64x2.add
          (f64x2.add (v128.load (local.get $sums)) (f64x2.mul (v128.load64_splat (local.get $x)) (local.get $b)))
          (f64x2.mul (v128.load64_splat offset=8 (local.get $x))
            (v128.xor (v128.const i64x2 0 0x8000000000000000)
              (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $b) (local.get $b)))))))))

;; The same for four frames at once, whose spectra lie `stride` bytes apart: the sums are fetched and put back once.
(func (export "addCross4") (param $x i32) (param $y i32) (param $stride i32) (param $bins i32) (param $sums i32)
  (local $end i32) (local $sum v128) (local $b v128) (local $x2 i32) (local $x3 i32) (local $x4 i32)
  (local $y2 i32) (local $y3 i32) (local $y4 i32) (local $at i32)
  (local.set $x2 (i32.add (local.get $x) (local.get $stride)))
  (local.set $x3 (i32.add (local.get $x2) (local.get $stride)))
  (local.set $x4 (i32.add (local.get $x3) (local.get $stride)))
  (local.set $y2 (i32.add (local.get $y) (local.get $stride)))
  (local.set $y3 (i32.add (local.get $y2) (local.get $stride)))
  (local.set $y4 (i32.add (local.get $y3) (local.get $stride)))
  (local.set $end (i32.shl (local.get $bins) (i32.const 4)))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $at) (local.get $end)))
      (local.set $sum (v128.load (i32.add (local.get $sums) (local.get $at))))
      (local.set $b (v128.load (i32.add (local.get $y) (local.get $at))))
      (local.set $sum
        (f64x2.add (f64x2.add (local.get $sum) (f64x2.mul (v128.load64_splat (i32.add (local.get $x) (local.get $at))) (local.get $b)))
          (f64x2.mul (v128.load64_splat offset=8 (i32.add (local.get $x) (local.get $at)))
            (v128.xor (v128.const i64x2 0 0x8000000000000000)
              (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $b) (local.get $b))))))
      (local.set $b (v128.load (i32.add (local.get $y2) (local.get $at))))
      (local.set $sum
        (f64x2.add (f64x2.add (local.get $sum) (f64x2.mul (v128.load64_splat (i32.add (local.get $x2) (local.get $at))) (local.get $b)))
          (f64x2.mul (v128.load64_splat offset=8 (i32.add (local.get $x2) (local.get $at)))
            (v128.xor (v128.const i64x2 0 0x8000000000000000)
              (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $b) (local.get $b))))))
      (local.set $b (v128.load (i32.add (local.get $y3) (local.get $at))))
      (local.set $sum
        (f64x2.add (f64x2.add (local.get $sum) (f64x2.mul (v128.load64_splat (i32.add (local.get $x3) (local.get $at))) (local.get $b)))
          (f64x2.mul (v128.load64_splat offset=8 (i32.add (local.get $x3) (local.get $at)))
            (v128.xor (v128.const i64x2 0 0x8000000000000000)
              (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $b) (local.get $b))))))
      (local.set $b (v128.load (i32.add (local.get $y4) (local.get $at))))
      (v128.store (i32.add (local.get $sums) (local.get $at))
        (f64x2.add (f64x2.add (local.get $sum) (f64x2.mul (v128.load64_splat (i32.add (local.get $x4) (local.get $at))) (local.get $b)))
          (f64x2.mul (v128.load64_splat offset=8 (i32.add (local.get $x4) (local.get $at)))
            (v128.xor (v128.const i64x2 0 0x8000000000000000)
              (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $b) (local.get $b))))))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (br $each))))

;; into[n] = window[n] * samples[n]; `results` gets the sum of their squares and their own sum, each as (0 + 2) + (1 + 3) of what every
;; fourth sample adds up to. `count`: a multiple of 4.
(func (export "applyWindow")
  (param $window i32) (param $samples i32) (param $into i32) (param $count i32) (param $results i32)
  (local $end i32) (local $a v128) (local $b v128)
  (local $even v128) (local $odd v128) (local $evenSum v128) (local $oddSum v128)
  (local.set $end (i32.add (local.get $into) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $into) (local.get $end)))
      (local.set $a (f64x2.mul (v128.load (local.get $window)) (v128.load (local.get $samples))))
      (local.set $b (f64x2.mul (v128.load offset=16 (local.get $window)) (v128.load offset=16 (local.get $samples))))
      (v128.store (local.get $into) (local.get $a))
      (v128.store offset=16 (local.get $into) (local.get $b))
      (local.set $even (f64x2.add (local.get $even) (f64x2.mul (local.get $a) (local.get $a))))
      (local.set $odd (f64x2.add (local.get $odd) (f64x2.mul (local.get $b) (local.get $b))))
      (local.set $evenSum (f64x2.add (local.get $evenSum) (local.get $a)))
      (local.set $oddSum (f64x2.add (local.get $oddSum) (local.get $b)))
      (local.set $window (i32.add (local.get $window) (i32.const 32)))
      (local.set $samples (i32.add (local.get $samples) (i32.const 32)))
      (local.set $into (i32.add (local.get $into) (i32.const 32)))
      (br $each)))
  (local.set $even (f64x2.add (local.get $even) (local.get $odd)))
  (local.set $evenSum (f64x2.add (local.get $evenSum) (local.get $oddSum)))
  (v128.store (local.get $results)
    (f64x2.add
      (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $even) (local.get $evenSum))
      (i8x16.shuffle 8 9 10 11 12 13 14 15 24 25 26 27 28 29 30 31 (local.get $even) (local.get $evenSum)))))

;; frame[n] -= mean * window[n]. `count`: even.
(func (export "takeMeanOff") (param $frame i32) (param $window i32) (param $count i32) (param $mean f64)
  (local $end i32) (local $m v128)
  (local.set $m (f64x2.splat (local.get $mean)))
  (local.set $end (i32.add (local.get $frame) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $frame) (local.get $end)))
      (v128.store (local.get $frame)
        (f64x2.sub (v128.load (local.get $frame)) (f64x2.mul (local.get $m) (v128.load (local.get $window)))))
      (local.set $frame (i32.add (local.get $frame) (i32.const 16)))
      (local.set $window (i32.add (local.get $window) (i32.const 16)))
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
