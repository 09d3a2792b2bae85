import { clientHash, clientScript } from 'virtual:preview-client';
import { sha256 } from '@noble/hashes/sha256';
import { utf8ToBytes } from '@noble/hashes/utils';
import { escaped, html, type Markup, scriptData } from './html.ts';
import { programSheets } from './programSheets.ts';
import { sceneOf } from './scene.ts';
import { answerSheet, floorSheet, type Sheet, stringsSheet } from './sheets.ts';
import { STYLE } from './style.ts';
import type { PreviewTask } from './task.ts';

function base64(bytes: Uint8Array): string {
  return btoa(String.fromCharCode(...bytes));
}

function sheetsOf(task: PreviewTask): Sheet[] {
  return [answerSheet(task), stringsSheet(task), ...(task.floor.deepest > 0 ? [floorSheet(task)] : []), ...programSheets(task)];
}

function sheetMarkup(sheet: Sheet, at: number, all: number, task: PreviewTask): Markup {
  const title = task.title === '' ? 'untitled job' : task.title;
  return html`<section class="sheet" id="${sheet.id}" aria-labelledby="${sheet.id}-title"><div class="frame">
<h2 id="${sheet.id}-title">${sheet.title}</h2>
${sheet.body}
<div class="strip"><span>${title}</span><span>job ${task.fingerprint}</span><span>sheet ${at + 1} of ${all}</span></div>
</div></section>
`;
}

/**
 * One page to look at before cutting: whole in itself, nothing fetched (a policy by hashes forbids it, and every script and style but its
 * own). The same task gives the same bytes.
 */
export function previewPage(task: PreviewTask): string {
  const sheets = sheetsOf(task);
  const title = task.title === '' ? 'untitled job' : task.title;
  const policy = `default-src 'none'; script-src '${clientHash}'; style-src 'sha256-${base64(sha256(utf8ToBytes(STYLE)))}'; base-uri 'none'; form-action 'none'`;
  const links = sheets.map((sheet) => html`<li><a href="#${sheet.id}">${sheet.title}</a></li>`);
  const body = html`<header><h1>${title}</h1><p>Look before cutting. Job ${task.fingerprint}, all lengths in ${task.units === 'mm' ? 'millimetres' : 'inches'}.</p><nav aria-label="Sheets"><ul>${links}</ul></nav>
<noscript><p>The drawings need the page's own script; the figures below stand without it.</p></noscript></header>
<main>
${sheets.map((sheet, i) => sheetMarkup(sheet, i, sheets.length, task))}</main>
<script type="application/json" id="scene">${scriptData(sceneOf(task))}</script>`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>pocketpitch preview: ${escaped(title)}</title>
<meta http-equiv="Content-Security-Policy" content="${escaped(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="of-others" content="The script below holds parts of fflate, under the MIT licence in pocketpitch's LICENCES.txt.">
<style>${STYLE}</style>
</head>
<body>
${body.markup}
<script>${clientScript}</script>
</body>
</html>
`;
}
