;; K-weighting: a shelf and a high-pass behind it, the shelf in the lower half of each vector, the high-pass in the upper half and three
;; frames behind: by then its input has long been there, and each frame waits for the one before it alone. See src/signal/plain/loudness.ts,
;; which does the same operations in the same order. `count`: 4 or more. `sections`: b0, b1, b2, a1, a2, each of the shelf and of the high-pass.
;; `memory`: the last two frames of input, middle and output, and the energy, which is added to.
(func (export "kWeigh") (param $samples i32) (param $count i32) (param $sections i32) (param $memory i32)
  (local $end i32)
  (local $b0 v128) (local $b1 v128) (local $b2 v128) (local $a1 v128) (local $a2 v128)
  (local $x v128) (local $x1 v128) (local $x2 v128) (local $y v128) (local $y1 v128) (local $y2 v128) (local $y3 v128) (local $energy v128)
  (local.set $b0 (v128.load (local.get $sections)))
  (local.set $b1 (v128.load offset=16 (local.get $sections)))
  (local.set $b2 (v128.load offset=32 (local.get $sections)))
  (local.set $a1 (v128.load offset=48 (local.get $sections)))
  (local.set $a2 (v128.load offset=64 (local.get $sections)))
  (local.set $end (i32.add (local.get $samples) (i32.shl (local.get $count) (i32.const 3))))
  ;; The first three frames go through the shelf alone.
  (local.set $x1 (v128.load64_zero (local.get $memory)))
  (local.set $x2 (v128.load64_zero offset=8 (local.get $memory)))
  (local.set $y1 (v128.load64_zero offset=16 (local.get $memory)))
  (local.set $y2 (v128.load64_zero offset=24 (local.get $memory)))
  (local.set $energy (v128.load64_splat offset=48 (local.get $memory)))
  (local.set $x (v128.load64_zero (local.get $samples)))
  (local.set $y
    (f64x2.sub
      (f64x2.sub
        (f64x2.add
          (f64x2.add (f64x2.mul (local.get $b0) (local.get $x)) (f64x2.mul (local.get $b1) (local.get $x1)))
          (f64x2.mul (local.get $b2) (local.get $x2)))
        (f64x2.mul (local.get $a2) (local.get $y2)))
      (f64x2.mul (local.get $a1) (local.get $y1))))
  (local.set $x2 (local.get $x1))
  (local.set $x1 (local.get $x))
  (local.set $y3 (local.get $y2))
  (local.set $y2 (local.get $y1))
  (local.set $y1 (local.get $y))
  (local.set $x (v128.load64_zero offset=8 (local.get $samples)))
  (local.set $y
    (f64x2.sub
      (f64x2.sub
        (f64x2.add
          (f64x2.add (f64x2.mul (local.get $b0) (local.get $x)) (f64x2.mul (local.get $b1) (local.get $x1)))
          (f64x2.mul (local.get $b2) (local.get $x2)))
        (f64x2.mul (local.get $a2) (local.get $y2)))
      (f64x2.mul (local.get $a1) (local.get $y1))))
  (local.set $x2 (local.get $x1))
  (local.set $x1 (local.get $x))
  (local.set $y3 (local.get $y2))
  (local.set $y2 (local.get $y1))
  (local.set $y1 (local.get $y))
  (local.set $x (v128.load64_zero offset=16 (local.get $samples)))
  (local.set $y
    (f64x2.sub
      (f64x2.sub
        (f64x2.add
          (f64x2.add (f64x2.mul (local.get $b0) (local.get $x)) (f64x2.mul (local.get $b1) (local.get $x1)))
          (f64x2.mul (local.get $b2) (local.get $x2)))
        (f64x2.mul (local.get $a2) (local.get $y2)))
      (f64x2.mul (local.get $a1) (local.get $y1))))
  (local.set $x2 (local.get $x1))
  (local.set $x1 (local.get $x))
  (local.set $y3 (local.get $y2))
  (local.set $y2 (local.get $y1))
  (local.set $y1 (local.get $y))
  ;; From here on the high-pass comes along: its last input, which is the middle, and its last output.
  (local.set $x1 (v128.load64_lane offset=16 1 (local.get $memory) (local.get $x1)))
  (local.set $x2 (v128.load64_lane offset=24 1 (local.get $memory) (local.get $x2)))
  (local.set $y1 (v128.load64_lane offset=32 1 (local.get $memory) (local.get $y1)))
  (local.set $y2 (v128.load64_lane offset=40 1 (local.get $memory) (local.get $y2)))
  (local.set $samples (i32.add (local.get $samples) (i32.const 24)))
  (loop $each
    (local.set $x
      (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23
        (v128.load64_zero (local.get $samples)) (local.get $y3)))
    (local.set $y
      (f64x2.sub
        (f64x2.sub
          (f64x2.add
            (f64x2.add (f64x2.mul (local.get $b0) (local.get $x)) (f64x2.mul (local.get $b1) (local.get $x1)))
            (f64x2.mul (local.get $b2) (local.get $x2)))
          (f64x2.mul (local.get $a2) (local.get $y2)))
        (f64x2.mul (local.get $a1) (local.get $y1))))
    (local.set $energy (f64x2.add (local.get $energy) (f64x2.mul (local.get $y) (local.get $y))))
    (local.set $x2 (local.get $x1))
    (local.set $x1 (local.get $x))
    (local.set $y3 (local.get $y2))
    (local.set $y2 (local.get $y1))
    (local.set $y1 (local.get $y))
    (br_if $each (i32.lt_u (local.tee $samples (i32.add (local.get $samples) (i32.const 8))) (local.get $end))))
  (v128.store64_lane 0 (local.get $memory) (local.get $x1))
  (v128.store64_lane offset=8 0 (local.get $memory) (local.get $x2))
  (v128.store64_lane offset=16 0 (local.get $memory) (local.get $y1))
  (v128.store64_lane offset=24 0 (local.get $memory) (local.get $y2))
  ;; The last three frames go through the high-pass alone; what stands in the lower half no longer counts.
  (local.set $x
    (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $x1) (local.get $y3)))
  (local.set $y
    (f64x2.sub
      (f64x2.sub
        (f64x2.add
          (f64x2.add (f64x2.mul (local.get $b0) (local.get $x)) (f64x2.mul (local.get $b1) (local.get $x1)))
          (f64x2.mul (local.get $b2) (local.get $x2)))
        (f64x2.mul (local.get $a2) (local.get $y2)))
      (f64x2.mul (local.get $a1) (local.get $y1))))
  (local.set $energy (f64x2.add (local.get $energy) (f64x2.mul (local.get $y) (local.get $y))))
  (local.set $x2 (local.get $x1))
  (local.set $x1 (local.get $x))
  (local.set $y3 (local.get $y2))
  (local.set $y2 (local.get $y1))
  (local.set $y1 (local.get $y))
  (local.set $x
    (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $x1) (local.get $y3)))
  (local.set $y
    (f64x2.sub
      (f64x2.sub
        (f64x2.add
          (f64x2.add (f64x2.mul (local.get $b0) (local.get $x)) (f64x2.mul (local.get $b1) (local.get $x1)))
          (f64x2.mul (local.get $b2) (local.get $x2)))
        (f64x2.mul (local.get $a2) (local.get $y2)))
      (f64x2.mul (local.get $a1) (local.get $y1))))
  (local.set $energy (f64x2.add (local.get $energy) (f64x2.mul (local.get $y) (local.get $y))))
  (local.set $x2 (local.get $x1))
  (local.set $x1 (local.get $x))
  (local.set $y3 (local.get $y2))
  (local.set $y2 (local.get $y1))
  (local.set $y1 (local.get $y))
  (local.set $x
    (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $x1) (local.get $y3)))
  (local.set $y
    (f64x2.sub
      (f64x2.sub
        (f64x2.add
          (f64x2.add (f64x2.mul (local.get $b0) (local.get $x)) (f64x2.mul (local.get $b1) (local.get $x1)))
          (f64x2.mul (local.get $b2) (local.get $x2)))
        (f64x2.mul (local.get $a2) (local.get $y2)))
      (f64x2.mul (local.get $a1) (local.get $y1))))
  (local.set $energy (f64x2.add (local.get $energy) (f64x2.mul (local.get $y) (local.get $y))))
  (local.set $x2 (local.get $x1))
  (local.set $x1 (local.get $x))
  (local.set $y3 (local.get $y2))
  (local.set $y2 (local.get $y1))
  (local.set $y1 (local.get $y))
  (v128.store64_lane offset=32 1 (local.get $memory) (local.get $y1))
  (v128.store64_lane offset=40 1 (local.get $memory) (local.get $y2))
  (v128.store64_lane offset=48 1 (local.get $memory) (local.get $energy)))
