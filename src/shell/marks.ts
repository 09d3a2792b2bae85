/** How each kind of output begins, by which a command knows its own work again: never anything a person would write. */
export const MARKS = {
  svg: /^<svg [^>]*>\s*<title>pocketpitch guide/,
  pdf: /^%PDF-[^\n]*\n[^\n]*\n\d+ 0 obj\s*<<\s*\/Made \/pocketpitch#20guide/,
  nc: /^\(pocketpitch: /,
  txt: /^[^\n]*\njob [0-9a-f]{12}\n/,
  stl: /^solid pocketpitch rail /,
  html: /^<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>pocketpitch preview: /,
  json: /^\{\s*"format": 1,\s*"pitch": \{/,
} as const;
