(pocketpitch: walk round the pocket at clear height, spindle off)
(job 0e9d25bc3a71)
(all numbers in mm, X from the mouth towards the bridge, Z up)
(cutter: flat, diameter 6.00 mm, stick-out 26.00 mm)
(zero in G54, with whatever length offset is active then:)
(Z0 on the floor as found, bare wood, near the rear wall)
(Y0 halfway between the side walls)
(X: touch the rear wall with the cutter and set X 68.500 there)
(floor deepest at the mouth: 0.811 mm on the centreline)
(nothing is cut: every move at Z 25.400)
(box of the cutter: X -10.000 to 71.350,)
(Y -28.950 to 28.950)
(free space before the mouth: 25.00 mm, over Y -29.10 to 29.10)
(start only from the top, not from a line in the middle)
(written only after it was proved against the job and the shop file)
G21
G17
G90
G94
G40
G54
G80
(MSG, CUTTER OVER THE POCKET, ABOVE ALL, SPINDLE OFF)
M0
G0 Z25.400
G0 X0.000 Y-29.100
(MSG, CUTTER OVER MOUTH-BASS, SPINDLE STAYS OFF)
M0
G0 X0.000 Y29.100
(MSG, CUTTER OVER MOUTH-TREBLE, SPINDLE STAYS OFF)
M0
G0 X71.500 Y29.100
G0 X71.500 Y0.000
(MSG, CUTTER OVER REAR, SPINDLE STAYS OFF)
M0
G0 X71.500 Y-29.100
G0 X-7.000 Y-29.100
G0 X-7.000 Y29.100
G0 X0.000 Y0.000
M5
M2
