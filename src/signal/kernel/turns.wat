;; Cosines and sines of `count` angles in radians, `count` even; the same operations in the same order as src/terms/portable/sine.ts. Returns 0
;; where every angle is within 2^26 radians; else some of the results mean nothing.
(func (export "turns") (param $angles i32) (param $cosines i32) (param $sines i32) (param $count i32) (result i32)
  (local $end i32) (local $x v128) (local $q v128) (local $rest v128) (local $tail v128) (local $sum v128) (local $first v128)
  (local $second v128) (local $z v128) (local $s v128) (local $c v128) (local $half v128) (local $most v128)
  (local $odd v128) (local $whole v128) (local $off v128)
  (local.set $end (i32.add (local.get $angles) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $angles) (local.get $end)))
      (local.set $x (v128.load (local.get $angles)))
      (local.set $off (v128.or (local.get $off)
        (v128.not (f64x2.lt (f64x2.abs (local.get $x)) (v128.const f64x2 0x1p26 0x1p26)))))
      ;; Quarter turns, and what is left without them, in two doubles.
      (local.set $q
        (f64x2.floor
          (f64x2.add (f64x2.mul (local.get $x) (v128.const f64x2 0.6366197723675814 0.6366197723675814)) (v128.const f64x2 0.5 0.5))))
      (local.set $first (f64x2.sub (local.get $x) (f64x2.mul (local.get $q) (v128.const f64x2 1.5707963109016418 1.5707963109016418))))
      (local.set $second (f64x2.mul (local.get $q) (v128.const f64x2 1.5893254712295857e-8 1.5893254712295857e-8)))
      (local.set $sum (f64x2.sub (local.get $first) (local.get $second)))
      (local.set $z (f64x2.sub (local.get $sum) (local.get $first)))
      (local.set $tail
        (f64x2.sub
          (f64x2.sub
            (f64x2.sub
              (f64x2.sub (local.get $first) (f64x2.sub (local.get $sum) (local.get $z)))
              (f64x2.add (local.get $second) (local.get $z)))
            (f64x2.mul (local.get $q) (v128.const f64x2 6.123233932053594e-17 6.123233932053594e-17)))
          (f64x2.mul (local.get $q) (v128.const f64x2 6.36831716351095e-25 6.36831716351095e-25))))
      (local.set $rest (f64x2.add (local.get $sum) (local.get $tail)))
      (local.set $tail (f64x2.add (f64x2.sub (local.get $sum) (local.get $rest)) (local.get $tail)))
      ;; Both series.
      (local.set $z (f64x2.mul (local.get $rest) (local.get $rest)))
      (local.set $half (f64x2.mul (v128.const f64x2 0.5 0.5) (local.get $z)))
      (local.set $most (f64x2.sub (v128.const f64x2 1 1) (local.get $half)))
      (local.set $s
        (f64x2.add (v128.const f64x2 -0.16666666666666666 -0.16666666666666666)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 0.008333333333333333 0.008333333333333333)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 -0.0001984126984126984 -0.0001984126984126984)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 0.0000027557319223985893 0.0000027557319223985893)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 -2.505210838544172e-8 -2.505210838544172e-8)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 1.6059043836821613e-10 1.6059043836821613e-10)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 -7.647163731819816e-13 -7.647163731819816e-13)
        (f64x2.mul (local.get $z) (v128.const f64x2 2.8114572543455206e-15 2.8114572543455206e-15))))))))))))))))
      (local.set $s
        (f64x2.add (local.get $rest)
          (f64x2.add
            (f64x2.mul (f64x2.mul (local.get $rest) (local.get $z)) (local.get $s))
            (f64x2.mul (local.get $tail) (local.get $most)))))
      (local.set $c
        (f64x2.add (v128.const f64x2 0.041666666666666664 0.041666666666666664)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 -0.001388888888888889 -0.001388888888888889)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 0.0000248015873015873 0.0000248015873015873)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 -2.755731922398589e-7 -2.755731922398589e-7)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 2.08767569878681e-9 2.08767569878681e-9)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 -1.1470745597729725e-11 -1.1470745597729725e-11)
        (f64x2.mul (local.get $z) (f64x2.add (v128.const f64x2 4.779477332387385e-14 4.779477332387385e-14)
        (f64x2.mul (local.get $z) (v128.const f64x2 -1.5619206968586225e-16 -1.5619206968586225e-16))))))))))))))))
      (local.set $c
        (f64x2.add (local.get $most)
          (f64x2.add
            (f64x2.sub (f64x2.sub (v128.const f64x2 1 1) (local.get $most)) (local.get $half))
            (f64x2.sub
              (f64x2.mul (f64x2.mul (local.get $z) (local.get $z)) (local.get $c))
              (f64x2.mul (local.get $rest) (local.get $tail))))))
      ;; Odd quarters exchange them; the second and third, for the cosine the first and second, turn the sign.
      (local.set $odd
        (f64x2.ne
          (local.get $q)
          (f64x2.mul (f64x2.floor (f64x2.mul (local.get $q) (v128.const f64x2 0.5 0.5))) (v128.const f64x2 2 2))))
      (local.set $whole (i64x2.extend_low_i32x4_s (i32x4.trunc_sat_f64x2_s_zero (local.get $q))))
      (v128.store (local.get $sines)
        (v128.bitselect
          (local.get $x)
          (v128.xor
            (v128.bitselect (local.get $c) (local.get $s) (local.get $odd))
            (v128.and (i64x2.shl (local.get $whole) (i32.const 62)) (v128.const i64x2 0x8000000000000000 0x8000000000000000)))
          (f64x2.eq (local.get $x) (v128.const i64x2 0 0))))
      (v128.store (local.get $cosines)
        (v128.xor
          (v128.bitselect (local.get $s) (local.get $c) (local.get $odd))
          (v128.and
            (i64x2.shl (i64x2.add (local.get $whole) (v128.const i64x2 1 1)) (i32.const 62))
            (v128.const i64x2 0x8000000000000000 0x8000000000000000))))
      (local.set $cosines (i32.add (local.get $cosines) (i32.const 16)))
      (local.set $sines (i32.add (local.get $sines) (i32.const 16)))
      (local.set $angles (i32.add (local.get $angles) (i32.const 16)))
      (br $each)))
  (v128.any_true (local.get $off)))
