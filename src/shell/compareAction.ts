import { curesJson, curesText } from '../report/cures.ts';
import { solvedWithShop } from './jobs.ts';
import type { Said } from './said.ts';

export function compareAction(job: string, options: { json?: boolean }): Said {
  const { outcome } = solvedWithShop(job, undefined);
  const out = options.json === true ? `${JSON.stringify(curesJson(outcome), null, 2)}\n` : curesText(outcome);
  return { out, notes: [] };
}
