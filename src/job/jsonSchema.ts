import * as z from 'zod';
import { jobSchema } from './jobSchema.ts';
import { JOB_WORDS, SHOP_WORDS } from './keyWords.ts';
import { eitherOf, formOf } from './leaves.ts';
import { shopSchema } from './readShop.ts';

type Json = Record<string, unknown>;

/** What the file looks like before it is read, since an editor sees that: leaves by their form, defaults left out (they are in mm). */
function jsonOf(schema: z.ZodType): Json {
  return z.toJSONSchema(schema, {
    io: 'input',
    target: 'draft-7',
    unrepresentable: 'any',
    override: ({ zodSchema, jsonSchema }) => {
      const either = eitherOf(zodSchema);
      const form = either === undefined ? formOf(zodSchema) : { anyOf: either.map(withoutHead) };
      if (form !== undefined) Object.assign(jsonSchema, form);
      delete jsonSchema.default;
    },
  }) as Json;
}

function withoutHead(schema: z.ZodType): Json {
  const { $schema: _, ...rest } = jsonOf(schema);
  return rest;
}

const children = (node: Json): [string, Json][] => Object.entries((node.properties ?? {}) as Record<string, Json>);

/** The same with the words of each key beside it; the items of a list stand where the list's own key does. */
function described(node: Json, words: Readonly<Record<string, string>>, path: string): Json {
  const below = (key: string): string => (path === '' ? key : `${path}.${key}`);
  const inner: Json = { ...node };
  if (node.properties !== undefined)
    inner.properties = Object.fromEntries(
      children(node).map(([key, child]) => [key, { description: words[below(key)], ...described(child, words, below(key)) }]),
    );
  if (node.items !== undefined) inner.items = described(node.items as Json, words, path);
  if (Array.isArray(node.anyOf)) inner.anyOf = node.anyOf.map((each: Json) => described(each, words, path));
  return inner;
}

/**
 * The JSON Schema (draft 7) of a kind of file, made from the schema that reads it: keys, forms, choices and ranges, so that an editor can
 * complete and check them. What needs several values at once (a pocket deeper than the body) only the program itself finds, and a bare
 * number is held to the wider of its ranges in mm and inches.
 */
export function jsonSchemaOf(kind: 'job' | 'shop'): Json {
  const [schema, words] = kind === 'job' ? [jobSchema(undefined), JOB_WORDS] : [shopSchema(undefined), SHOP_WORDS];
  const { $schema, ...rest } = described(jsonOf(schema), words, '');
  return { $schema, title: `pocketpitch ${kind} file, format 1`, ...rest };
}
