import { sha256 } from '@noble/hashes/sha256';
import { utf8ToBytes } from '@noble/hashes/utils';
import { escaped, html, type Markup, scriptData } from '../preview/html.ts';
import { STYLE } from '../preview/style.ts';
import { fitSheet, makeSheet, measureSheet, mindSheet, type PageSheet, type Starter, seeSheet } from './sheets.ts';
import { PAGE_STYLE } from './style.ts';
import type { Words } from './words.ts';

export interface PageParts {
  /** The page's own script, the whole core in it. */
  readonly script: string;
  readonly starters: readonly Starter[];
  /** SAFETY.md. */
  readonly safety: string;
  /** Of the libraries in the script: the page is handed on alone. */
  readonly licences: string;
}

function hashOf(text: string): string {
  return `'sha256-${btoa(String.fromCharCode(...sha256(utf8ToBytes(text))))}'`;
}

function sheetMarkup({ id, title, body }: PageSheet): Markup {
  return html`<section class="sheet" id="${id}" aria-labelledby="${id}-title"><div class="frame">
<h2 id="${id}-title">${title}</h2>
${body}
</div></section>
`;
}

/**
 * The bench page: the whole tool in one file, nothing fetched and nothing sent (a policy by hashes forbids it, and every script and style but
 * its own). The same parts give the same bytes.
 */
export function benchPage({ script, starters, safety, licences }: PageParts, words: Words): string {
  const style = STYLE + PAGE_STYLE;
  const policy = `default-src 'none'; script-src ${hashOf(script)}; style-src ${hashOf(style)}; base-uri 'none'; form-action 'none'`;
  const [first, second, ...rest] = [
    measureSheet(words, starters),
    seeSheet(words),
    makeSheet(words),
    fitSheet(words),
    mindSheet(words, safety),
  ] as const;
  const sheets = [first, second, ...rest];
  const links = sheets.map(({ id, title }) => html`<li><a href="#${id}">${title}</a></li>`);
  const body = html`<header><h1>${words.name}</h1><p>${words.about}</p><nav aria-label="${words.nav}"><ul>${links}</ul></nav>
<noscript><p>${words.noScript}</p></noscript></header>
<main class="bench">
<div class="side-by-side">${[first, second].map(sheetMarkup)}</div>
${rest.map(sheetMarkup)}</main>
<footer class="tally" id="tally"><p id="tally-said" role="status"></p><a id="tally-go" href="#see">${words.sheets.see}</a></footer>
<script type="application/json" id="starters">${scriptData(starters)}</script>
<script type="application/json" id="licences">${scriptData(licences)}</script>`;
  return `<!doctype html>
<html lang="${words.language}">
<head>
<meta charset="utf-8">
<title>${escaped(words.name)}</title>
<meta http-equiv="Content-Security-Policy" content="${escaped(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>${style}</style>
</head>
<body>
${body.markup}
<script>${script}</script>
</body>
</html>
`;
}
