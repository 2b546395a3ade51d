import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { showSchema } from '../../node/show/read.ts';
import { named, schemaRows } from './bad-show-rows.ts';
import { demoNames, demoText } from './demo-show.ts';
import { smallShow } from './small-show.ts';

/** Ajv, an independent validator of JSON Schema draft 2020-12. */
const ajv = new Ajv2020({ allErrors: true });
const validate = ajv.compile(showSchema());

describe('the published JSON Schema', () => {
  it('says which draft it speaks', () => {
    expect(showSchema()).toMatchObject({ $schema: 'https://json-schema.org/draft/2020-12/schema' });
  });

  it('takes the least that is a show', () => {
    expect(validate(smallShow()), ajv.errorsText(validate.errors)).toBe(true);
  });

  it.each(demoNames)('takes %s', (name) => {
    expect(validate(JSON.parse(demoText(name))), ajv.errorsText(validate.errors)).toBe(true);
  });

  it.each(schemaRows.map(named))('refuses $what', ({ spoil }) => {
    const show = smallShow();
    spoil(show);
    expect(validate(show)).toBe(false);
  });
});
