import type { Path } from './yamlText.ts';

/** A reading of a test fit as everybody calls it, fits counted from 1 in the order of the file. */
const ofFit = (index: number, key: string): string => (key === '' ? `fit ${index + 1}` : `${key} of fit ${index + 1}`);

/** A place in a job or shop file, for people: `pocket.screws[2].x`, `depth.bass of fit 1`. */
export function pathText(path: Path): string {
  const [section, index, ...rest] = path;
  if (section === 'fits' && typeof index === 'number') return ofFit(index, pathText(rest));
  return path.reduce<string>(
    (text, step) => (typeof step === 'number' ? `${text}[${step + 1}]` : text === '' ? step : `${text}.${step}`),
    '',
  );
}

/** The dotted path of an input, as the documents for scripts have it, for people: a fit's readings by the fit's name. */
export function readingName(path: string): string {
  return path.replace(/^fits\.(\d+)(?:\.(.*))?$/, (_, index: string, key = '') => ofFit(Number(index), key));
}
