/** What the ids on the sheets of the program `at` (from 0) end in: the page's own script finds its fields by them. */
export function endingOf(at: number): string {
  return at === 0 ? '' : `-${at + 1}`;
}
