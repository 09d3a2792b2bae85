/** What a command says: to standard output, and as notes to standard error. */
export interface Said {
  /** To standard error before all else: what makes the rest mean little. */
  readonly first?: readonly string[];
  readonly out: string;
  readonly notes: readonly string[];
}
