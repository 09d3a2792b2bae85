/** What a command says: to standard output, and as notes to standard error. */
export interface Said {
  readonly out: string;
  readonly notes: readonly string[];
}
