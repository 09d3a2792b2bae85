import type { Spoken } from './spoken.ts';

/** Text in roff: nothing in it is taken for a request, a sign or a hyphen to break at. */
const roff = (text: string): string =>
  text
    .replace(/\\/g, '\\e')
    .replace(/-/g, '\\-')
    .replace(/±/g, '\\[+-]')
    .replace(/^(['.])/gm, '\\&$1');

const bold = (text: string): string => `\\fB${roff(text)}\\fR`;
const slanted = (text: string): string => `\\fI${roff(text)}\\fR`;
const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;

function callOf({ name, arguments: places, options }: Spoken): string {
  const needed = options.filter((option) => option.needed);
  return [
    bold(`pocketpitch ${name}`),
    ...places.map((place) => (place.needed ? slanted(place.name) : `[${slanted(place.name)}]`)),
    ...needed.map(({ long, takes }) => `${bold(long)} ${slanted(takes ?? '')}`),
    ...(options.length > needed.length ? ['[options]'] : []),
  ].join(' ');
}

function partOf(command: Spoken): string {
  const tagged = (tag: string, text: string): string => `.TP\n${tag}\n${roff(sentence(text))}`;
  return [
    `.SS ${command.name}`,
    callOf(command),
    `.PP\n${roff(sentence(command.about))}`,
    ...command.arguments.map(({ name, about }) => tagged(slanted(name), about)),
    ...command.options.map(({ long, takes, about }) =>
      tagged(`${bold(long)}${takes === undefined ? '' : ` ${slanted(takes)}`}`, about),
    ),
    ...(command.example === undefined ? [] : [`.PP\nExample:\n.PP\n.nf\n${roff(command.example)}\n.fi`]),
  ].join('\n');
}

export interface ManualWords {
  readonly version: string;
  readonly about: string;
  readonly caution: string;
  /** What each exit code says. */
  readonly exits: readonly (readonly [string, string])[];
}

/** The man page (section 1, roff with the man macros), made from the definitions of the commands. */
export function manualText(commands: readonly Spoken[], words: ManualWords): string {
  return `${[
    `.TH POCKETPITCH 1 "" "pocketpitch ${words.version}" "User Commands"`,
    `.SH NAME\npocketpitch \\- ${roff(words.about.charAt(0).toLowerCase() + words.about.slice(1).replace(/\.$/, ''))}`,
    `.SH SYNOPSIS\n.B pocketpitch\n.I command\n[arguments] [options]`,
    `.SH DESCRIPTION\n${roff(words.about)}\n${roff(words.caution)}`,
    `.PP\nA job or a program may be given as ${bold('-')}, which is standard input. Files are written whole or not at all; a file that the same command did not make is replaced only with ${bold('--replace')}.`,
    '.SH COMMANDS',
    ...commands.map(partOf),
    '.SH EXIT STATUS',
    ...words.exits.map(([code, text]) => `.TP\n.B ${code}\n${roff(sentence(text))}`),
  ].join('\n')}\n`;
}
