import type { Finding } from '../kernel/findings.ts';
import { fromMm, type Unit } from '../kernel/units.ts';
import { readLength } from './leaves.ts';
import { SHOP_RANGES } from './ranges.ts';
import { type Located, valueAt } from './yamlText.ts';

/**
 * What of a shop file cannot be true together, each at its place: values of the file that can be read by themselves, and a default only
 * where a value that is given has to go with it (`defaultCut`, mm/min). `unit` is the file's; undefined where the file does not say it soundly: then nothing is compared.
 */
export function shopContradictions(located: Located, unit: Unit | undefined, defaultCut: number): Finding[] {
  if (unit === undefined) return [];
  const at = (section: string, key: string): number | undefined => {
    const read = readLength(
      valueAt(located.data, [section, key]),
      unit,
      SHOP_RANGES[`${section}.${key}` as keyof typeof SHOP_RANGES],
    );
    return read.ok ? read.value.mm : undefined;
  };
  const say = (mm: number): string => `${Number(fromMm(mm, unit).toPrecision(4))} ${unit}`;
  const problem = (code: string, path: readonly [string, string], message: string, rest: Partial<Finding>): Finding => ({
    code,
    severity: 'error',
    exit: 2,
    message: `${path.join('.')}: ${message}`,
    place: located.valuePlace([...path]),
    ...rest,
  });
  const findings: Finding[] = [];
  const diameter = at('cutter', 'diameter');
  const rimDiameter = at('rim', 'diameter');
  const lane = (section: string, cutter: string, most: number | undefined): void => {
    const width = at(section, 'width');
    if (width === undefined || most === undefined || width <= most) return;
    findings.push(
      problem('pass-wider-than-cutter', [section, 'width'], 'lanes wider than the cutter leave wood between them', {
        found: say(width),
        expected: `at most ${cutter}.diameter, ${say(most)}`,
      }),
    );
  };
  lane('pass', 'cutter', diameter);
  lane('rim', 'rim', rimDiameter);
  if (diameter !== undefined && rimDiameter !== undefined && rimDiameter >= diameter)
    findings.push(
      problem(
        'rim-cutter-not-smaller',
        ['rim', 'diameter'],
        'a second cutter that is no smaller reaches no more than the first',
        {
          found: say(rimDiameter),
          expected: `less than cutter.diameter, ${say(diameter)}`,
        },
      ),
    );
  const cut = at('feed', 'cut');
  const sinks = (path: readonly [string, string], most: number, from: string): void => {
    const plunge = at(...path);
    if (plunge === undefined || plunge <= most) return;
    const bare = valueAt(located.data, [...path]);
    // A plain number that would be slower than the cut in millimetres was most likely meant so.
    const slip = typeof bare === 'number' && unit === 'in' && bare <= most;
    findings.push(
      problem(
        'plunge-faster-than-cut',
        path,
        'straight down, where a cutter cuts worst, it would go faster than through the wood',
        {
          found: `${say(plunge)}/min`,
          expected: `at most ${from}, ${say(most)}/min`,
          // The share of our own defaults (common practice, no source).
          remedy: slip
            ? `if millimetres were meant, write "${bare} mm"; a quarter of the cutting feed is common`
            : 'plunge more slowly; a quarter of the cutting feed is common',
        },
      ),
    );
  };
  sinks(['feed', 'plunge'], cut ?? defaultCut, cut === undefined ? 'feed.cut (its default)' : 'feed.cut');
  const rimCut = at('rim', 'cut');
  const inherited =
    cut === undefined ? 'feed.cut (its default, since there is no rim.cut)' : 'feed.cut (since there is no rim.cut)';
  sinks(['rim', 'plunge'], rimCut ?? cut ?? defaultCut, rimCut === undefined ? inherited : 'rim.cut');
  return findings;
}
