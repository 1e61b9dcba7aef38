;; Words of 24 bit, one behind the other, as doubles, full scale 1. `count`: a multiple of 4; four bytes past the last word are read.
(func (export "decode24") (param $bytes i32) (param $into i32) (param $count i32)
  (local $end i32) (local $words v128)
  (local.set $end (i32.add (local.get $into) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $into) (local.get $end)))
      ;; The three bytes at the top of a word: the sign comes by itself. Index 16 and more gives 0.
      (local.set $words
        (i8x16.swizzle (v128.load (local.get $bytes))
          (v128.const i8x16 16 0 1 2 16 3 4 5 16 6 7 8 16 9 10 11)))
      (v128.store (local.get $into)
        (f64x2.mul (f64x2.convert_low_i32x4_s (local.get $words)) (v128.const f64x2 0x1p-31 0x1p-31)))
      (v128.store offset=16 (local.get $into)
        (f64x2.mul
          (f64x2.convert_low_i32x4_s
            (i8x16.shuffle 8 9 10 11 12 13 14 15 8 9 10 11 12 13 14 15 (local.get $words) (local.get $words)))
          (v128.const f64x2 0x1p-31 0x1p-31)))
      (local.set $bytes (i32.add (local.get $bytes) (i32.const 12)))
      (local.set $into (i32.add (local.get $into) (i32.const 32)))
      (br $each))))

;; The reverse. `count`: a multiple of 4; four bytes past the last word are written. Returns 0 where every value is a word of 24 bit.
(func (export "encode24") (param $samples i32) (param $bytes i32) (param $count i32) (result i32)
  (local $end i32) (local $a v128) (local $b v128) (local $i v128) (local $j v128) (local $off v128)
  (local.set $end (i32.add (local.get $samples) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $samples) (local.get $end)))
      (local.set $a (f64x2.mul (v128.load (local.get $samples)) (v128.const f64x2 0x1p23 0x1p23)))
      (local.set $b (f64x2.mul (v128.load offset=16 (local.get $samples)) (v128.const f64x2 0x1p23 0x1p23)))
      (local.set $i (i32x4.trunc_sat_f64x2_s_zero (local.get $a)))
      (local.set $j (i32x4.trunc_sat_f64x2_s_zero (local.get $b)))
      ;; Not whole or not a number: unequal after the way there and back.
      (local.set $off (v128.or (local.get $off)
        (v128.or
          (f64x2.ne (f64x2.convert_low_i32x4_s (local.get $i)) (local.get $a))
          (f64x2.ne (f64x2.convert_low_i32x4_s (local.get $j)) (local.get $b)))))
      (local.set $i
        (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $i) (local.get $j)))
      ;; Out of range: the bits above the sign differ from it.
      (local.set $off (v128.or (local.get $off)
        (v128.xor (local.get $i)
          (i32x4.shr_s (i32x4.shl (local.get $i) (i32.const 8)) (i32.const 8)))))
      (v128.store (local.get $bytes)
        (i8x16.swizzle (local.get $i) (v128.const i8x16 0 1 2 4 5 6 8 9 10 12 13 14 16 16 16 16)))
      (local.set $samples (i32.add (local.get $samples) (i32.const 32)))
      (local.set $bytes (i32.add (local.get $bytes) (i32.const 12)))
      (br $each)))
  (v128.any_true (local.get $off)))
