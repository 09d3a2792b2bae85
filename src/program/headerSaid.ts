import { comments, KINDS, type Kind, TURNED, WHAT } from './text.ts';

/** What a program's header says of it. Only a hint to a person: comments prove nothing. */
export interface HeaderSaid {
  readonly kind: Kind;
  /** Degrees. */
  readonly turn: number;
}

/** Undefined for a text that does not begin as ours do. */
export function headerSaid(text: string): HeaderSaid | undefined {
  const lines = text.replace(/\r/g, '');
  const kind = KINDS.find((each) => lines.startsWith(`${comments(`pocketpitch: ${WHAT[each]}`).join('\n')}\n`));
  if (kind === undefined) return undefined;
  const turned = new RegExp(`^\\(${TURNED} (\\d+) degrees`, 'm').exec(lines);
  return { kind, turn: Number(turned?.[1] ?? 0) };
}
