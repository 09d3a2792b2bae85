import { readYaml } from '../job/yamlText.ts';

/** What a file that is opened has to be. */
export type FileKind = 'job' | 'shop' | 'drawing';

const FORMAT = { job: /^\s*\{?\s*["']?job["']?\s*:\s*\d/m, shop: /^\s*\{?\s*["']?shop["']?\s*:\s*\d/m };
const SECTIONS = {
  job: ['like', 'scale', 'strings', 'neck', 'pocket', 'bridge', 'asFound'],
  shop: ['cutter', 'spindle', 'feed', 'pass', 'clearance', 'sheet', 'rails'],
};

/** Whether a text is meant for a file of this kind. Faults in it do not count: they are there to be mended. */
export function isOfKind(text: string, kind: FileKind): boolean {
  if (kind === 'drawing') return /<svg[\s>]/.test(text);
  const yaml = readYaml(text, '');
  if (!yaml.ok) return FORMAT[kind].test(text);
  const { data } = yaml.value;
  const other = kind === 'job' ? 'shop' : 'job';
  if (data[kind] !== undefined) return typeof data[kind] !== 'object';
  // What the command writes for scripts says its format, and has sections of the same names.
  return data[other] === undefined && data.format === undefined && SECTIONS[kind].some((key) => Object.hasOwn(data, key));
}
