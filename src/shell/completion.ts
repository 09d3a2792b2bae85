import { type Spoken, WORDS_FOR } from './spoken.ts';

export const SHELLS = ['bash', 'zsh', 'fish'] as const;
export type Shell = (typeof SHELLS)[number];

/** In single quotes, as all three shells read them. */
const quoted = (text: string): string => `'${text.replace(/'/g, "'\\''")}'`;
const first = (command: Spoken): readonly string[] => command.arguments[0]?.choices ?? [];

function bash(commands: readonly Spoken[]): string {
  const cases = commands.map(({ name, options, ...rest }) => {
    const words = [...options.map(({ long }) => long), '--help'].join(' ');
    return `    ${name}) options=${quoted(words)}; words=${quoted(first({ name, options, ...rest }).join(' '))} ;;`;
  });
  const values = Object.entries(WORDS_FOR).map(
    ([option, words]) => `    ${option}) COMPREPLY=($(compgen -W ${quoted(words.join(' '))} -- "$current")); return ;;`,
  );
  return `# pocketpitch: completion for bash. In ~/.bashrc: eval "$(pocketpitch completion bash)"
_pocketpitch() {
  local current="\${COMP_WORDS[COMP_CWORD]}" before="\${COMP_WORDS[COMP_CWORD-1]}" options='' words=''
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W ${quoted([...commands.map(({ name }) => name), 'help', '--help', '--version'].join(' '))} -- "$current"))
    return
  fi
  case "$before" in
${values.join('\n')}
  esac
  case "\${COMP_WORDS[1]}" in
${cases.join('\n')}
    help) words=${quoted(commands.map(({ name }) => name).join(' '))} ;;
  esac
  case "$current" in
    -*) COMPREPLY=($(compgen -W "$options" -- "$current")) ;;
    *) if [ -n "$words" ] && [ "$COMP_CWORD" -eq 2 ]; then COMPREPLY=($(compgen -W "$words" -- "$current")); else local IFS=$'\\n'; COMPREPLY=($(compgen -f -- "$current")); fi ;;
  esac
}
complete -o filenames -F _pocketpitch pocketpitch
`;
}

/** For `_arguments`, where a colon parts the fields and brackets hold the words. */
const plain = (text: string): string => text.replace(/[[\]:]/g, '');

function zsh(commands: readonly Spoken[]): string {
  const list = commands.map(({ name, about }) => `    ${quoted(`${name}:${plain(about)}`)}`);
  const cases = commands.map((command) => {
    const options = command.options.map(({ long, about, takes }) => {
      const words = WORDS_FOR[long];
      const values = words === undefined ? '_files' : `(${words.join(' ')})`;
      return quoted(`${long}[${plain(about)}]${takes === undefined ? '' : `:${takes}:${values}`}`);
    });
    const places = command.arguments.map(({ name, choices }, index) =>
      quoted(`${index + 1}:${name}:${choices.length > 0 ? `(${choices.join(' ')})` : '_files'}`),
    );
    return `    ${command.name}) _arguments ${[...options, "'--help[show help]'", ...places].join(' ')} ;;`;
  });
  return `#compdef pocketpitch
# pocketpitch: completion for zsh. As a file _pocketpitch in a folder of $fpath, or in ~/.zshrc after compinit:
# eval "$(pocketpitch completion zsh)"
_pocketpitch() {
  local -a commands
  commands=(
${list.join('\n')}
  )
  if (( CURRENT == 2 )); then
    _describe command commands
    return
  fi
  local command=$words[2]
  shift words
  (( CURRENT-- ))
  case $command in
${cases.join('\n')}
  esac
}
if [ "$funcstack[1]" = _pocketpitch ]; then _pocketpitch "$@"; else compdef _pocketpitch pocketpitch; fi
`;
}

function fish(commands: readonly Spoken[]): string {
  const lines = commands.flatMap((command) => {
    const within = `complete -c pocketpitch -n ${quoted(`__fish_seen_subcommand_from ${command.name}`)}`;
    const options = command.options.map(({ long, about, takes }) => {
      const words = WORDS_FOR[long];
      const value = takes === undefined ? '' : words === undefined ? ' -r -F' : ` -x -a ${quoted(words.join(' '))}`;
      return `${within} -l ${long.slice(2)} -d ${quoted(about)}${value}`;
    });
    const choices = first(command);
    return [
      `complete -c pocketpitch -n __fish_use_subcommand -f -a ${command.name} -d ${quoted(command.about)}`,
      ...(choices.length > 0 ? [`${within} -f -a ${quoted(choices.join(' '))}`] : []),
      ...options,
    ];
  });
  return `# pocketpitch: completion for fish. As ~/.config/fish/completions/pocketpitch.fish, or: pocketpitch completion fish | source\n${lines.join('\n')}\n`;
}

/** The script by which a shell completes commands, options and their values. */
export function completionOf(shell: Shell, commands: readonly Spoken[]): string {
  return { bash, zsh, fish }[shell](commands);
}
