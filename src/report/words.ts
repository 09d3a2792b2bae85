import { MM_PER_INCH, toDegrees } from '../kernel/units.ts';
import type { Outcome } from './outcome.ts';

const CAUTION =
  'Read SAFETY.md first. Wood taken off is not put back: stop early, fit, measure, go on. Local codes, the machine manual and licensed practice come before this sheet.';

const mm = (value: number): string => `${(Math.round(value * 100) / 100 + 0).toFixed(2)} mm`;

/** mm, decimal inch and the nearest 1/64, as a maker reads them off calipers or a rule. */
function inAllUnits(value: number): string {
  const inches = value / MM_PER_INCH;
  const sixtyFourths = Math.round(inches * 64);
  const whole = Math.floor(sixtyFourths / 64);
  let top = sixtyFourths % 64;
  let bottom = 64;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const fraction = top === 0 ? `${whole}` : `${whole > 0 ? `${whole}-` : ''}${top}/${bottom}`;
  const near = sixtyFourths === 0 && value > 0 ? 'less than 1/64 in' : `about ${fraction} in`;
  return `${mm(value)} (${inches.toFixed(4)} in, ${near})`;
}

const WHERE: Readonly<Record<string, string>> = {
  rear: 'at the mouth, running out to nothing at the rear wall',
  mouth: 'at the rear wall, running out to nothing at the mouth',
  side: 'along one side, running out to nothing along the other',
  corner: 'at the deepest corner, running out to nothing at the opposite one',
  none: 'evenly over the whole floor',
};

function leadSentence(outcome: Outcome): string {
  const { solution, uncertainty, floor } = outcome;
  const { afterCut } = solution;
  const travel = `With the saddles at their lowest the worst string then stands ${mm(afterCut.lowest)} over its nearest fret; at their highest the least string stands ${mm(afterCut.highest)} over the last fret.`;
  if (floor.deepest === 0) {
    return `No cut is needed: the saddles reach both ends as the pocket is. With the saddles at their lowest the worst string stands ${mm(afterCut.lowest)} over its nearest fret; at their highest the least stands ${mm(afterCut.highest)} over the last.`;
  }
  const skim = floor.plane.skim > 0 ? ` The whole floor comes down by the skim of ${mm(floor.plane.skim)}, counted in.` : '';
  const where = solution.hingeName === 'none' ? WHERE.none : WHERE[solution.hingeName];
  const angle = Math.abs(toDegrees(solution.pitch)).toFixed(2);
  const nut = `The nut ${solution.nutDrop >= 0 ? 'goes down' : 'comes up'} by ${mm(Math.abs(solution.nutDrop))}`;
  const slope =
    solution.pitch === 0
      ? ''
      : ` (a slope of ${angle} degrees ${solution.pitch > 0 ? 'back' : 'forward'}, ±${toDegrees(uncertainty.pitch).toFixed(2)})`;
  return `Take off ${inAllUnits(floor.deepest)} ±${uncertainty.deepest.toFixed(2)} mm ${where}${slope}.${skim} ${nut}. ${travel}`;
}

function table(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const widths = head.map((title, i) => Math.max(title.length, ...rows.map((row) => (row[i] ?? '').length)));
  const line = (cells: readonly string[]): string =>
    `  ${cells.map((cell, i) => (i === 0 ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0))).join('  ')}`.trimEnd();
  return [line(head), ...rows.map(line)];
}

/** Breaks prose at 100 columns: a bench print-out is narrow. */
function wrap(text: string): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > 100) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line];
}

/** The report for the bench: first the sentence, then the tables. */
export function outcomeText(outcome: Outcome): string {
  const { job, solution, floor, uncertainty, sideways } = outcome;
  const title = job.title === '' ? 'untitled job' : job.title;
  const out: string[] = [title, `job ${outcome.fingerprint}`, ''];
  if (solution.instrument.kind === 'drawing') {
    out.push(
      ...wrap(
        'FROM THE DRAWING ALONE: no gap or straightedge was read at the bench. This supposes a floor parallel to the top, and the uncertainty is usually as large as the cut. Use it to plan, not to cut.',
      ),
      '',
    );
  }
  out.push(...wrap(leadSentence(outcome)), '');
  for (const warning of outcome.warnings) out.push(...wrap(`Warning, ${warning.code}: ${warning.message}`));
  if (outcome.warnings.length > 0) out.push('');
  out.push('Depth of the new floor below the floor as found');
  const d = floor.depths;
  out.push(
    ...table(
      ['', 'bass', 'centre', 'treble'],
      [
        ['mouth', mm(d.mouthBass), mm(d.mouthCentre), mm(d.mouthTreble)],
        ['rear wall', mm(d.rearBass), mm(d.rearCentre), mm(d.rearTreble)],
      ],
    ),
    '',
    `  wood to take off ${(floor.volume / 1000).toFixed(2)} cm3; thinnest wood left under the pocket ${mm(floor.thinnest)}`,
    `  a depth line ${mm(1)} deeper lowers the worst string by ${mm(-solution.gain)}`,
    '',
    'Strings over the frets (saddles lowest: nearest fret from the 12th up; highest: over the last fret)',
  );
  const reach = solution.afterCut.low.map((low, i) => {
    const before = solution.asFound.low[i];
    return [
      `string ${i + 1}${i === 0 ? ' (bass)' : i === solution.afterCut.low.length - 1 ? ' (treble)' : ''}`,
      mm(before?.gap ?? 0),
      mm(solution.asFound.high[i] ?? 0),
      mm(low.gap),
      String(low.fret),
      mm(solution.afterCut.high[i] ?? 0),
    ];
  });
  out.push(...table(['', 'lowest now', 'highest now', 'lowest then', 'at fret', 'highest then'], reach), '');
  if (floor.screws.length > 0) {
    out.push('Screws');
    const rows = floor.screws.map((s) => [
      `x ${s.x.toFixed(1)}, y ${s.y.toFixed(1)}`,
      mm(s.hold),
      s.tip === undefined ? 'heelWood not given' : mm(s.tip),
    ]);
    out.push(...table(['hole', 'holds in the neck', 'wood over the tip'], rows), '');
  }
  if (sideways !== null) {
    const { walls } = sideways;
    out.push(
      'Sideways',
      `  turn the neck by ${Math.abs(toDegrees(sideways.yaw)).toFixed(3)} degrees: the nut goes ${mm(Math.abs(sideways.nutShift))} towards the ${sideways.nutShift * (job.hand === 'right' ? 1 : -1) >= 0 ? 'treble' : 'bass'} side`,
      ...table(
        ['heel corner', 'wall gives (+) or play to pack (-)'],
        [
          ['mouth, bass', mm(walls.mouthBass)],
          ['mouth, treble', mm(walls.mouthTreble)],
          ['rear, bass', mm(walls.rearBass)],
          ['rear, treble', mm(walls.rearTreble)],
        ],
      ),
      '',
    );
  }
  if (outcome.stays.length > 0) {
    out.push('What the cutter leaves for the chisel');
    const rows = outcome.stays.map((stay) => [stay.where, mm(stay.height), mm(stay.width)]);
    out.push(...table(['where', 'height', 'width'], rows), '');
  }
  out.push('What the ± comes from (share of the variance of the deepest cut)');
  const rows = uncertainty.budget.slice(0, 8).map(({ input, share }) => [input, `${(share * 100).toFixed(1)} %`]);
  out.push(...table(['measurement', 'share'], rows), '');
  const first = uncertainty.budget[0];
  if (first !== undefined) out.push(...wrap(`Measure ${first.input} again first: it has the largest share.`), '');
  if (uncertainty.assumed.length > 0)
    out.push(...wrap(`No ± was given for, and a usual one was taken for: ${uncertainty.assumed.join(', ')}.`), '');
  out.push(...wrap(CAUTION));
  return `${out.join('\n')}\n`;
}
