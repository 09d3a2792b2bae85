import * as z from 'zod';
import { sha256Of } from '../kernel/fingerprint.ts';
import { VERSION } from '../kernel/version.ts';
import type { Figures } from './figures.ts';
import { NOW_STATES } from './now.ts';

// What `make` leaves beside its outputs: the texts they were made from, whole, so that they can be made again from it alone, and the
// fingerprint of each output. No name of a file, no folder and no day: the same inputs leave the same record anywhere.

/** The texts that decide everything: the job, those it is like (the nearest first), its drawing, the shop file. */
export interface InputTexts {
  readonly job: string;
  readonly bases: readonly string[];
  readonly drawing: string | null;
  readonly shop: string | null;
}

export interface RecordedOutput {
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

const text = z.strictObject({ sha256: z.string(), text: z.string() });
const record = z.strictObject({
  record: z.literal(1),
  pocketpitch: z.string(),
  inputs: z.strictObject({ job: text, bases: z.array(text), drawing: text.nullable(), shop: text.nullable() }),
  figures: z.strictObject({
    title: z.string(),
    units: z.enum(['mm', 'in']),
    deepest: z.number(),
    deepestUncertainty: z.number(),
    hinge: z.enum(['rear', 'mouth', 'side', 'corner', 'none']),
    pitch: z.number(),
    pitchUncertainty: z.number(),
    shortBy: z.number(),
    wishShortBy: z.number(),
    fromDrawingAlone: z.boolean(),
    now: z.strictObject({ state: z.enum(NOW_STATES), left: z.number(), leftUncertainty: z.number(), tooDeep: z.number() }),
    warnings: z.array(z.strictObject({ code: z.string(), message: z.string() })),
  }),
  outputs: z.array(z.strictObject({ name: z.string().regex(/^[\w-]+\.[a-z]+$/), bytes: z.number(), sha256: z.string() })),
});

/** A record as it is read back. */
export interface MakeRecord {
  readonly version: string;
  readonly inputs: InputTexts;
  readonly figures: Figures;
  readonly outputs: readonly RecordedOutput[];
}

/** How a record begins: by this it may be replaced. */
export const RECORD_MARK = /^\{\s*"record": 1,\s*"pocketpitch": "/;
export const RECORD_NAME = 'record.json';

const sealed = (value: string) => ({ sha256: sha256Of(value), text: value });

/** The record of a whole set of outputs, in the order they are given in. */
export function recordText(
  inputs: InputTexts,
  figures: Figures,
  outputs: readonly { readonly name: string; readonly bytes: string | Uint8Array }[],
): string {
  const document: z.input<typeof record> = {
    record: 1,
    pocketpitch: VERSION,
    inputs: {
      job: sealed(inputs.job),
      bases: inputs.bases.map(sealed),
      drawing: inputs.drawing === null ? null : sealed(inputs.drawing),
      shop: inputs.shop === null ? null : sealed(inputs.shop),
    },
    figures: { ...figures, warnings: figures.warnings.map((warning) => ({ ...warning })) },
    outputs: outputs.map(({ name, bytes }) => outputOf(name, bytes)),
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** An output's fingerprint: length in bytes and SHA-256. */
export function outputOf(name: string, bytes: string | Uint8Array): RecordedOutput {
  const data = typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes;
  return { name, bytes: data.length, sha256: sha256Of(data) };
}

/** A record's text read back; undefined where it is none, or where a text in it is not the one it says. */
export function readRecord(recorded: string): MakeRecord | undefined {
  let data: unknown;
  try {
    data = JSON.parse(recorded);
  } catch {
    return undefined;
  }
  const read = record.safeParse(data);
  if (!read.success) return undefined;
  const { inputs, figures, outputs, pocketpitch } = read.data;
  const all = [inputs.job, ...inputs.bases, inputs.drawing, inputs.shop].filter((each) => each !== null);
  if (all.some((each) => sha256Of(each.text) !== each.sha256)) return undefined;
  return {
    version: pocketpitch,
    inputs: {
      job: inputs.job.text,
      bases: inputs.bases.map((base) => base.text),
      drawing: inputs.drawing?.text ?? null,
      shop: inputs.shop?.text ?? null,
    },
    figures,
    outputs,
  };
}

/** Which inputs are not the ones of a record, by what they are: empty where all are the same. */
export function otherInputs(recorded: InputTexts, now: InputTexts): ('job' | 'base' | 'drawing' | 'shop')[] {
  const bases = recorded.bases.length !== now.bases.length || recorded.bases.some((base, i) => base !== now.bases[i]);
  return [
    ...(recorded.job === now.job ? [] : (['job'] as const)),
    ...(bases ? (['base'] as const) : []),
    ...(recorded.drawing === now.drawing ? [] : (['drawing'] as const)),
    ...(recorded.shop === now.shop ? [] : (['shop'] as const)),
  ];
}
