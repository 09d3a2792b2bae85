import type { Command } from 'commander';

/** One command as help, completion and man page know it: taken from commander's definitions, so that the three cannot differ. */
export interface Spoken {
  readonly name: string;
  readonly about: string;
  readonly arguments: readonly {
    readonly name: string;
    readonly about: string;
    readonly choices: readonly string[];
    readonly needed: boolean;
  }[];
  readonly options: readonly {
    readonly long: string;
    readonly about: string;
    readonly takes: string | undefined;
    readonly needed: boolean;
  }[];
  readonly example: string | undefined;
}

/** What an option's value may be, where it is one of a few words; elsewhere it is a file or a figure. */
export const WORDS_FOR: Readonly<Record<string, readonly string[]>> = {
  '--as': ['floor', 'rim', 'air', 'trace'],
  '--only': ['map', 'strip', 'gauge', 'rails', 'card'],
};

/** The example that stands under a command's help. */
function exampleOf(command: Command): string | undefined {
  let help = '';
  command.configureOutput({
    writeOut: (text) => {
      help += text;
    },
  });
  command.outputHelp();
  return /\nExample: (.*)/.exec(help)?.[1];
}

/** Every command but `help`, in the order of the help. */
export function spokenOf(program: Command): Spoken[] {
  return program.commands.map((command) => ({
    name: command.name(),
    about: command.description(),
    arguments: command.registeredArguments.map((each) => ({
      name: each.name(),
      about: each.description,
      choices: each.argChoices ?? [],
      needed: each.required,
    })),
    options: command.options.map((each) => ({
      long: each.long ?? each.flags,
      about: each.description,
      takes: /<([^>]+)>/.exec(each.flags)?.[1],
      needed: each.mandatory,
    })),
    example: exampleOf(command),
  }));
}
