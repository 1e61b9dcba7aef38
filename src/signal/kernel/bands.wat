;; Two band-passes of four sections each on one signal, one in each half of the vectors; see src/signal/band-filter.ts, whose twin does the same
;; operations in the same order. `sections`: a1 and a2 of each section, of both bands. `memory`: the last two frames of the input and of what
;; each section gave, of both bands, then the energy of what comes out, which is added to.
(func (export "bandPair") (param $samples i32) (param $count i32) (param $sections i32) (param $memory i32)
  (local $end i32) (local $energy v128)
  (local $a0 v128) (local $b0 v128) (local $a1 v128) (local $b1 v128) (local $a2 v128) (local $b2 v128) (local $a3 v128) (local $b3 v128)
  (local $x0 v128) (local $y0 v128) (local $x1 v128) (local $y1 v128) (local $x2 v128) (local $y2 v128) (local $x3 v128) (local $y3 v128) (local $x4 v128) (local $y4 v128)
  (local $n0 v128) (local $n1 v128) (local $n2 v128) (local $n3 v128) (local $n4 v128)
  (local.set $a0 (v128.load offset=0 (local.get $sections)))
  (local.set $b0 (v128.load offset=16 (local.get $sections)))
  (local.set $a1 (v128.load offset=32 (local.get $sections)))
  (local.set $b1 (v128.load offset=48 (local.get $sections)))
  (local.set $a2 (v128.load offset=64 (local.get $sections)))
  (local.set $b2 (v128.load offset=80 (local.get $sections)))
  (local.set $a3 (v128.load offset=96 (local.get $sections)))
  (local.set $b3 (v128.load offset=112 (local.get $sections)))
  (local.set $x0 (v128.load offset=0 (local.get $memory)))
  (local.set $y0 (v128.load offset=16 (local.get $memory)))
  (local.set $x1 (v128.load offset=32 (local.get $memory)))
  (local.set $y1 (v128.load offset=48 (local.get $memory)))
  (local.set $x2 (v128.load offset=64 (local.get $memory)))
  (local.set $y2 (v128.load offset=80 (local.get $memory)))
  (local.set $x3 (v128.load offset=96 (local.get $memory)))
  (local.set $y3 (v128.load offset=112 (local.get $memory)))
  (local.set $x4 (v128.load offset=128 (local.get $memory)))
  (local.set $y4 (v128.load offset=144 (local.get $memory)))
  (local.set $energy (v128.load offset=160 (local.get $memory)))
  (local.set $end (i32.add (local.get $samples) (i32.shl (local.get $count) (i32.const 3))))
  (block $done
    (loop $each
      (br_if $done (i32.ge_u (local.get $samples) (local.get $end)))
      (local.set $n0 (v128.load64_splat (local.get $samples)))
      (local.set $n1
        (f64x2.sub
          (f64x2.sub
            (f64x2.sub (local.get $n0) (local.get $y0))
            (f64x2.mul (local.get $b0) (local.get $y1)))
          (f64x2.mul (local.get $a0) (local.get $x1))))
      (local.set $n2
        (f64x2.sub
          (f64x2.sub
            (f64x2.sub (local.get $n1) (local.get $y1))
            (f64x2.mul (local.get $b1) (local.get $y2)))
          (f64x2.mul (local.get $a1) (local.get $x2))))
      (local.set $n3
        (f64x2.sub
          (f64x2.sub
            (f64x2.sub (local.get $n2) (local.get $y2))
            (f64x2.mul (local.get $b2) (local.get $y3)))
          (f64x2.mul (local.get $a2) (local.get $x3))))
      (local.set $n4
        (f64x2.sub
          (f64x2.sub
            (f64x2.sub (local.get $n3) (local.get $y3))
            (f64x2.mul (local.get $b3) (local.get $y4)))
          (f64x2.mul (local.get $a3) (local.get $x4))))
      (local.set $y0 (local.get $x0))
      (local.set $x0 (local.get $n0))
      (local.set $y1 (local.get $x1))
      (local.set $x1 (local.get $n1))
      (local.set $y2 (local.get $x2))
      (local.set $x2 (local.get $n2))
      (local.set $y3 (local.get $x3))
      (local.set $x3 (local.get $n3))
      (local.set $y4 (local.get $x4))
      (local.set $x4 (local.get $n4))
      (local.set $energy (f64x2.add (local.get $energy) (f64x2.mul (local.get $n4) (local.get $n4))))
      (local.set $samples (i32.add (local.get $samples) (i32.const 8)))
      (br $each)))
  (v128.store offset=0 (local.get $memory) (local.get $x0))
  (v128.store offset=16 (local.get $memory) (local.get $y0))
  (v128.store offset=32 (local.get $memory) (local.get $x1))
  (v128.store offset=48 (local.get $memory) (local.get $y1))
  (v128.store offset=64 (local.get $memory) (local.get $x2))
  (v128.store offset=80 (local.get $memory) (local.get $y2))
  (v128.store offset=96 (local.get $memory) (local.get $x3))
  (v128.store offset=112 (local.get $memory) (local.get $y3))
  (v128.store offset=128 (local.get $memory) (local.get $x4))
  (v128.store offset=144 (local.get $memory) (local.get $y4))
  (v128.store offset=160 (local.get $memory) (local.get $energy)))
