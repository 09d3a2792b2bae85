import { findingText } from '../kernel/findings.ts';
import { outcomeJson } from '../report/json.ts';
import { outcomeText } from '../report/words.ts';
import { solvedWithShop } from './jobs.ts';
import type { Said } from './said.ts';

export function solveAction(job: string, options: { json?: boolean }): Said {
  const { outcome } = solvedWithShop(job, undefined);
  const out = options.json === true ? `${JSON.stringify(outcomeJson(outcome), null, 2)}\n` : outcomeText(outcome);
  // The report says its warnings itself; the JSON's reader may not look, so they go to standard error as well.
  return { out, notes: options.json === true ? outcome.warnings.map(findingText) : [] };
}
