/** ms since 1970: the one look at the clock, for the day that stands beside a kept job. No figure depends on it. */
export function nowMs(): number {
  return Date.now();
}

/** Day and time as the files write days: 2026-03-14 09:05, where the page stands. */
export function dayAndTime(ms: number): string {
  const at = new Date(ms);
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
