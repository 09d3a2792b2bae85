import type { Markup } from '../preview/html.ts';

// What is measured, and from where: a few views of an invented instrument in pixels, each with one measure picked out. They show places, not
// sizes, so nothing in them is to scale. Words stay out of them: they would have to be translated.

type Lines = readonly string[];

const n = (value: number): string => String(Math.round(value * 10) / 10);
const stroke = (kind: 'ink' | 'soft' | 'mark', d: string, more = ''): string => `<path class="${kind}" d="${d}"${more}/>`;
const dot = (x: number, y: number, r = 2.5): string => `<circle class="dot" cx="${n(x)}" cy="${n(y)}" r="${n(r)}"/>`;
const hole = (x: number, y: number, r = 4): string => `<circle class="ink" cx="${n(x)}" cy="${n(y)}" r="${n(r)}"/>`;
const letter = (x: number, y: number, text: string, kind = ''): string =>
  `<text x="${n(x)}" y="${n(y)}"${kind === '' ? '' : ` class="${kind}"`} text-anchor="middle">${text}</text>`;

const HEAD = 6;

/** A measure along x at height `y`, with extension lines down or up to the points it is taken from. */
function across(x1: number, x2: number, y: number, from1: number, from2: number): Lines {
  const side = Math.sign(x2 - x1);
  const inside = Math.abs(x2 - x1) > 3 * HEAD;
  const [a, b] = inside ? [x1, x2] : [x1 - side * 12, x2 + side * 12];
  const [da, db] = inside ? [side, -side] : [-side, side];
  return [
    stroke('soft', `M${n(x1)} ${n(from1)}V${n(y - 4)}M${n(x2)} ${n(from2)}V${n(y - 4)}`),
    stroke('mark', `M${n(a)} ${n(y)}H${n(b)}`),
    stroke(
      'mark',
      `M${n(x1 + da * HEAD)} ${n(y - 3)}L${n(x1)} ${n(y)}l${n(da * HEAD)} 3M${n(x2 + db * HEAD)} ${n(y - 3)}L${n(x2)} ${n(y)}l${n(db * HEAD)} 3`,
    ),
  ];
}

/** The same along y at `x`. */
function down(y1: number, y2: number, x: number, from1: number, from2: number): Lines {
  const side = Math.sign(y2 - y1);
  const inside = Math.abs(y2 - y1) > 3 * HEAD;
  const [a, b] = inside ? [y1, y2] : [y1 - side * 12, y2 + side * 12];
  const [da, db] = inside ? [side, -side] : [-side, side];
  const edge = x + 4 * Math.sign(x - from1 || 1);
  return [
    stroke('soft', `M${n(from1)} ${n(y1)}H${n(edge)}M${n(from2)} ${n(y2)}H${n(edge)}`),
    stroke('mark', `M${n(x)} ${n(a)}V${n(b)}`),
    stroke(
      'mark',
      `M${n(x - 3)} ${n(y1 + da * HEAD)}L${n(x)} ${n(y1)}l3 ${n(da * HEAD)}M${n(x - 3)} ${n(y2 + db * HEAD)}L${n(x)} ${n(y2)}l3 ${n(db * HEAD)}`,
    ),
  ];
}

const FRETS = [40, 58, 74, 88, 100, 111, 121, 130, 138];

/** The whole from the side: nut on the left, neck in its pocket, saddle on the right. */
const SIDE: Lines = [
  stroke('ink', 'M16 66H124M124 66C118 66 116 72 116 84H156V60H16V54H156V60'),
  stroke('ink', FRETS.map((x) => `M${x} 54v-3`).join('')),
  stroke('ink', 'M16 54V48h-3V66h3', ' stroke-width="2"'),
  stroke('ink', 'M116 70H112Q106 70 106 78V90Q106 96 112 96H226M156 84V70H226'),
  stroke('ink', 'M196 70V56h12v14M202 56v-10'),
  stroke('ink', 'M14 47L202 44', ' stroke-width="0.9"'),
];

/** The neck where it lies in the pocket, larger. */
const HEEL: Lines = [
  stroke('ink', 'M10 40H150V34H10zM10 40V50H60Q72 50 72 62V78H150V40'),
  stroke('ink', [26, 46, 64, 80, 95, 109, 122, 134, 145].map((x) => `M${x} 34v-5`).join('')),
  stroke('ink', 'M72 62H56Q46 62 46 72V90Q46 96 52 96H226M150 78V62H226'),
];

/** The pocket from above: mouth on the left, rear wall on the right. */
const ABOVE: Lines = [
  stroke('ink', 'M60 24H150Q160 24 160 34V72Q160 82 150 82H60', ' stroke-width="2"'),
  stroke('ink', 'M60 24V82', ' stroke-dasharray="6 4"'),
  stroke('soft', 'M50 53H172', ' stroke-dasharray="9 3 2 3"'),
];

/** Across the strings, at the nut or the saddles. */
const ROW: Lines = [stroke('ink', 'M40 62H196V90H40z'), ...[58, 82, 106, 130, 154, 178].map((x, i) => dot(x, 58, 4.5 - 0.5 * i))];

/** The last frets and a string over them, much larger. */
const LAST: Lines = [
  stroke('ink', 'M10 76H190V94H10'),
  ...[40, 90, 135, 172].map((x) => stroke('ink', `M${x - 7} 76Q${x} 62 ${x + 7} 76`)),
  stroke('ink', 'M4 46L226 28', ' stroke-width="2"'),
];

/** A saddle on its base. */
const SADDLE: Lines = [stroke('ink', 'M40 88H200V76H40z'), stroke('ink', 'M96 76V58h40v18M104 58l4-8h16l4 8')];

const WEDGE = (y: number): string => `M40 ${y}H190V${y + 4}L40 ${y + 16}z`;

const VIEWS: Readonly<Record<string, Lines>> = {
  'scale.length': [...SIDE, ...across(16, 202, 22, 46, 42)],
  'scale.frets': [
    ...SIDE,
    stroke('mark', FRETS.map((x) => `M${x} 54v-4`).join(''), ' stroke-width="3"'),
    letter(40, 40, '1'),
    letter(58, 40, '2'),
    letter(74, 40, '3'),
    letter(106, 40, '…'),
    letter(138, 40, '?'),
  ],
  'strings.count': [
    ...ROW,
    ...[58, 82, 106, 130, 154, 178].map((x, i) => letter(x, 46, i < 3 ? String(i + 1) : i < 5 ? '·' : '?')),
  ],
  'strings.spreadAtNut': [...ROW, stroke('ink', 'M52 62V90M184 62V90', ' stroke-width="0.9"'), ...across(58, 178, 30, 52, 54)],
  'strings.spreadAtSaddle': [
    ...ROW,
    ...[58, 82, 106, 130, 154, 178].map((x) => stroke('ink', `M${x - 9} 90V70h18v20`, ' stroke-width="0.9"')),
    ...across(58, 178, 30, 52, 54),
  ],
  'strings.compensation': [
    stroke('soft', 'M120 8V98', ' stroke-dasharray="9 3 2 3"'),
    ...[16, 30, 44, 58, 72, 86].flatMap((y, i) => {
      const x = 120 + ([34, 27, 18, 30, 22, 14][i] ?? 0);
      return [stroke('ink', `M10 ${y}H${x}`, ' stroke-width="0.9"'), stroke('ink', `M${x} ${y - 5}h16v10h-16z`)];
    }),
    ...across(120, 154, 8, 10, 12),
  ],
  'neck.nutToMouth': [...SIDE, ...across(16, 116, 26, 46, 82)],
  'neck.seatToCrown': [...HEEL, stroke('soft', 'M72 29H170'), ...down(29, 78, 168, 72, 100)],
  'neck.nutGap': [
    stroke('ink', 'M60 76H226V94H60M60 94V34H30V94z'),
    ...[130, 196].map((x) => stroke('ink', `M${x - 8} 76Q${x} 62 ${x + 8} 76`)),
    stroke('soft', 'M40 69H210', ' stroke-dasharray="6 4"'),
    stroke('ink', 'M30 34L226 26', ' stroke-width="2"'),
    ...down(33.5, 69, 62, 62, 62),
  ],
  'neck.radius': [
    stroke('ink', 'M40 78Q118 38 196 78V92H40z', ' stroke-width="2"'),
    stroke('soft', 'M118 58V100', ' stroke-dasharray="9 3 2 3"'),
    stroke('mark', 'M118 100L150 62M143 64.500L150 62L149.500 69.500'),
    letter(146, 92, 'R'),
  ],
  'neck.relief': [
    stroke('ink', 'M16 52Q118 84 220 52V72Q118 102 16 72z'),
    stroke('ink', 'M10 46H226V51H10z', ' stroke-width="0.9"'),
    ...down(51, 68, 118, 118, 118),
  ],
  'neck.fallAway.fromFret': [
    stroke('ink', 'M10 76H220V94H10'),
    ...[26, 62, 96, 128, 158, 184, 206].map((x, i) =>
      stroke(i === 3 ? 'mark' : 'ink', `M${x} 76V${56 + Math.max(0, i - 3) * 4}`, ' stroke-width="4"'),
    ),
    stroke('ink', 'M10 50H226V55H10z', ' stroke-width="0.9"'),
    letter(128, 40, '?'),
  ],
  'neck.fallAway.drop': [
    stroke('ink', 'M10 76H220V94H10'),
    ...[26, 62, 96, 128, 158, 184, 206].map((x, i) =>
      stroke('ink', `M${x} 76V${56 + Math.max(0, i - 3) * 4}`, ' stroke-width="4"'),
    ),
    stroke('ink', 'M10 50H226V55H10z', ' stroke-width="0.9"'),
    ...down(55, 68, 214, 206, 206),
  ],
  'neck.crownTilt': [
    ...HEEL,
    stroke('soft', 'M20 86H190', ' stroke-dasharray="6 4"'),
    stroke('mark', 'M12 38L190 22M12 38H190', ' stroke-width="1.6"'),
    stroke('mark', 'M176 23Q184 30 182 38'),
  ],
  'neck.heelWood': [...HEEL, ...down(40, 78, 168, 150, 150)],
  'pocket.length': [...ABOVE, ...across(60, 160, 12, 22, 36)],
  'pocket.width': [...ABOVE, ...down(24, 82, 190, 152, 152)],
  'pocket.widthAtMouth': [...ABOVE, ...down(24, 82, 32, 58, 58)],
  'pocket.cornerRadius': [
    ...ABOVE,
    stroke('mark', 'M150 24Q160 24 160 34', ' stroke-width="4"'),
    stroke('mark', 'M186 12L159 29M164 22.500L159 29L167 28'),
    letter(194, 14, 'R'),
  ],
  'pocket.depth': [stroke('ink', 'M20 40H66V78H150V40H220M20 40V96H220V40', ' stroke-width="2"'), ...down(40, 78, 108, 66, 112)],
  'pocket.body': [stroke('ink', 'M20 40H66V78H150V40H220M20 40V96H220V40', ' stroke-width="2"'), ...down(40, 96, 186, 150, 150)],
  'pocket.leastFloor': [
    stroke('ink', 'M20 40H66V78H150V40H220M20 40V96H220V40', ' stroke-width="2"'),
    ...down(78, 96, 108, 108, 108),
  ],
  'pocket.clearBefore': [
    ...ABOVE,
    stroke('soft', 'M24 24V82H58M24 24H58', ' stroke-dasharray="3 3"'),
    ...across(24, 60, 53, 53, 53),
  ],
  'pocket.screws': [
    ...ABOVE,
    hole(80, 36),
    hole(80, 70),
    hole(140, 36),
    hole(140, 70),
    ...across(60, 140, 12, 22, 30),
    ...down(53, 70, 190, 140, 146),
  ],
  'pocket.mounted.mouthBass': [...ABOVE, dot(66, 76, 5)],
  'pocket.mounted.mouthTreble': [...ABOVE, dot(66, 30, 5)],
  'pocket.mounted.rearBass': [...ABOVE, dot(152, 75, 5)],
  'pocket.mounted.rearTreble': [...ABOVE, dot(152, 31, 5)],
  'screw.length': [
    stroke('ink', 'M60 40H180V52H60zM60 56H180V92H60z'),
    stroke('ink', 'M108 96h24v-4H108zM114 92V28l6-8 6 8v64'),
    ...down(20, 92, 200, 124, 132),
  ],
  'screw.plate': [
    stroke('ink', 'M60 24H180V40H60zM60 44H180V82H60z'),
    stroke('mark', 'M84 82H156V89H84z'),
    stroke('ink', 'M108 96h24l-4-7H112zM115 89V32l5-7 5 7v57'),
    ...down(82, 89, 200, 156, 156),
  ],
  'screw.leastHold': [
    stroke('ink', 'M60 20H180V58H60zM60 62H180V92H60z'),
    stroke('ink', 'M108 96h24v-4H108zM114 92V36l6-8 6 8v56'),
    ...down(28, 60, 200, 124, 180),
  ],
  'bridge.travel': [
    ...SADDLE,
    stroke('soft', 'M96 40V22h40v18M104 22l4-8h16l4 8', ' stroke-dasharray="3 3"'),
    ...down(14, 50, 176, 122, 122),
  ],
  'bridge.lowest': [
    stroke('ink', 'M20 76H216V96H20z'),
    stroke('ink', 'M80 76v-8h72v8M98 68V54h36v14M104 54l4-8h16l4 8'),
    ...down(46, 76, 190, 122, 200),
  ],
  'bridge.radius': [
    stroke('soft', 'M40 70Q118 34 196 70', ' stroke-dasharray="6 4"'),
    ...[
      [52, 64.5],
      [78, 55.5],
      [104, 51],
      [130, 51.5],
      [156, 56.5],
      [184, 65],
    ].map(([x = 0, y = 0]) => dot(x, y, 3.5)),
    stroke('mark', 'M118 98L148 56M141 59L148 56L147.500 63.500'),
    letter(146, 88, 'R'),
  ],
  'asFound.lastFretGap': [...LAST, ...down(32.5, 69, 172, 172, 172)],
  'asFound.raised': [
    ...SADDLE,
    stroke('soft', 'M96 76V52h40v24'),
    stroke('mark', 'M104 40l4-8h16l4 8H104', ' stroke-width="1.6"'),
    ...down(32, 50, 176, 124, 124),
  ],
  'asFound.straightedge': [
    ...SIDE.slice(0, 5),
    stroke('ink', 'M14 47L202 36', ' stroke-width="0.9"'),
    stroke('ink', 'M202 56V36', ' stroke-width="2"'),
    stroke('ink', 'M30 51H176V45H30z', ' stroke-width="0.9"'),
    stroke('soft', 'M176 51H218', ' stroke-dasharray="6 4"'),
    ...down(36, 51, 214, 204, 204),
  ],
  'asFound.firstFretGap': [
    stroke('ink', 'M60 76H226V94H60M60 94V34H30V94z'),
    ...[130, 196].map((x) => stroke('ink', `M${x - 8} 76Q${x} 62 ${x + 8} 76`)),
    stroke('ink', 'M30 34L226 26', ' stroke-width="2"'),
    ...down(30, 69, 130, 130, 130),
  ],
  'asFound.edge': [
    stroke('ink', 'M10 20H180V86H10', ' stroke-width="2"'),
    stroke('ink', 'M160 20V86M126 20V86M90 20V86'),
    stroke('ink', 'M4 30H226M4 76H226', ' stroke-width="1.2"'),
    ...down(20, 30, 160, 160, 160),
    ...down(76, 86, 160, 160, 160),
  ],
  'target.floor': [stroke('ink', WEDGE(20)), stroke('ink', WEDGE(62)), stroke('ink', 'M40 62l12-10H202L190 62M202 52V58L190 66')],
  'target.gap': [...LAST.slice(0, 5), stroke('mark', 'M4 66L226 61', ' stroke-width="2"'), stroke('soft', 'M4 46L226 28')],
  'target.highest': [...LAST, ...down(32.5, 69, 172, 172, 172)],
  'target.wished': [...LAST, ...down(32.5, 69, 172, 172, 172)],
  'target.within': [
    ...LAST.slice(0, 5),
    stroke('soft', 'M4 66L226 61', ' stroke-width="2"'),
    stroke('soft', 'M4 54L226 46', ' stroke-width="2"'),
    ...down(48.5, 62.5, 200, 190, 190),
  ],
  'target.skim': [
    stroke('ink', 'M20 40H66V78H150V40H220M20 40V96H220V40', ' stroke-width="2"'),
    stroke('soft', 'M66 70H150'),
    ...down(70, 78, 108, 108, 108),
  ],
  'cutter.diameter': [stroke('ink', 'M104 10V30H92V80H144V30H132V10'), ...across(92, 144, 94, 80, 80)],
  'cutter.length': [stroke('ink', 'M92 6H144V22H92zM108 22V84H128V22'), ...down(22, 84, 176, 144, 128)],
  'sheet.measuredX': [
    stroke('ink', 'M70 8H166V98H70z'),
    stroke('ink', 'M84 80H152M84 76v8M152 76v8M84 80', ' stroke-width="2"'),
    ...across(84, 152, 40, 74, 74),
  ],
  'sheet.measuredY': [
    stroke('ink', 'M70 8H166V98H70z'),
    stroke('ink', 'M88 20V88M84 20h8M84 88h8', ' stroke-width="2"'),
    ...down(20, 88, 136, 94, 94),
  ],
};

/** A small drawing for a field, or none. It says nothing that the words beside it do not. */
export function fieldDrawing(id: string): Markup | undefined {
  const lines = VIEWS[id];
  if (lines === undefined) return undefined;
  return { markup: `<svg class="figure" viewBox="0 0 236 104" aria-hidden="true" focusable="false">${lines.join('')}</svg>` };
}
