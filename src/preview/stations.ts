import type { Station } from './task.ts';

/**
 * The stations as the printed guide's own text gives them, so that the page and the paper cannot differ (contract.md: every station is a
 * circle with data-x, data-y in the body frame and data-depth, mm).
 */
export function stationsOf(guide: string): Station[] {
  return [...guide.matchAll(/<circle\b[^>]*>/g)].flatMap(([tag]) => {
    const value = (name: string): number => Number(new RegExp(`\\s${name}="(-?[0-9.]+)"`).exec(tag)?.[1] ?? Number.NaN);
    const station = { x: value('data-x'), y: value('data-y'), depth: value('data-depth') };
    return Number.isFinite(station.x + station.y + station.depth) ? [station] : [];
  });
}
