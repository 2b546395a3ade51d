import { describe, expect, it } from 'vitest';
import type { Change } from '../../node/show/change.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { readDraft } from '../../node/show/read.ts';
import { replay } from '../../node/show/replay.ts';
import type { Document } from '../../node/show/versions.ts';
import { smallShow } from './small-show.ts';

const { show } = readDraft(smallShow());
const [look] = show.looks;
const [group] = show.groups;
const edits: Change[] = [
  { do: 'set', kind: 'show', id: show.id, field: 'name', was: show.name, now: 'Another' },
  { do: 'set', kind: 'show', id: show.id, field: 'themeName', was: show.theme.name, now: 'Other' },
  { do: 'add', kind: 'themeColour', id: 'rust', now: { id: 'rust', order: 'zz', name: 'Rust', value: '#b7410e' } },
  { do: 'set', kind: 'look', id: look?.id ?? '', field: 'fadeOut', now: 7 },
  ...(group === undefined ? [] : [{ do: 'drop', kind: 'group', id: group.id, was: group } as Change]),
];

describe('edits of the history, laid over the document that was kept', () => {
  it('give what they gave when they were accepted', () => {
    const accepted = applyEdit(show, edits);
    if ('clashes' in accepted) throw new Error('refused');
    const kept = JSON.parse(JSON.stringify(show)) as Document;
    expect(readDraft(replay(kept, [edits.slice(0, 2), edits.slice(2)])).show).toEqual(accepted.show);
    expect(kept).toEqual(JSON.parse(JSON.stringify(show)));
  });

  it('are of the version of the document, which is brought up with them', () => {
    const old = { ...JSON.parse(JSON.stringify(show)), version: 2 } as Document;
    const dim: Change = {
      do: 'set',
      kind: 'look',
      id: look?.id ?? '',
      field: 'parts',
      now: [{ who: [{ all: true }], level: 0.5 }],
    };
    // L* of half the light is 76.07 (CIE 15).
    expect(readDraft(replay(old, [[dim]])).show.looks.find(({ id }) => id === look?.id)?.parts[0]?.level).toBe(0.7607);
  });

  it('that speak of what is not there are damage', () => {
    const lost: Change = { do: 'set', kind: 'look', id: 'nowhere', field: 'name', now: 'x' };
    expect(() => replay(show as unknown as Document, [[lost]])).toThrow('there is no look "nowhere"');
  });
});
