/** The four settings a string is shown in: before and after the cut, saddle at its lowest and highest. */
export const STATES = ['nowLowest', 'nowHighest', 'thenLowest', 'thenHighest'] as const;
export type State = (typeof STATES)[number];
