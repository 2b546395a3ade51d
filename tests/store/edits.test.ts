import { describe, expect, it } from 'vitest';
import type { AskedChange } from '../../node/show/change.ts';
import type { Show } from '../../node/show/document.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { ShowTable } from '../../node/store/shows.ts';
import { dimmer, everybody, tinyShow } from '../helpers/tiny-show.ts';
import { newFolder, open } from './new-folder.ts';

const AT = Date.UTC(2030, 5, 15);
const show = tinyShow({ fixtures: [dimmer('lamp', 1)], looks: [{ id: 'dinner', parts: [{ who: everybody, level: 0.5 }] }] });
const tempo = (was: number, now: number): AskedChange => ({ do: 'set', kind: 'show', id: 'tiny', field: 'tempo', was, now });

/** Makes an edit as the node does: applied, then kept. */
function edit(shows: ShowTable, before: { show: Show; revision: number }, asked: AskedChange, editId: string, who = 'Mia') {
  const done = applyEdit(before.show, [asked]);
  if ('clashes' in done) throw new Error(JSON.stringify(done.clashes));
  const { changes, inverse } = done;
  const revision = shows.edits.keep(
    {
      show: done.show,
      parent: before.revision,
      editId,
      who: { id: 1, name: who },
      why: 'edit',
      undoes: [],
      what: 'tempo',
      changes,
      inverse,
    },
    AT,
  );
  return { show: done.show, revision };
}

describe('edits in the store', () => {
  it('are revisions of their own, rebuilt from what was changed, also after the next opening', () => {
    const folder = newFolder();
    const db = open(folder);
    const shows = new ShowTable(db);
    const first = shows.keep(show, 'import', AT);
    let last = { show: first.show, revision: first.revision };
    for (let i = 1; i <= 120; i++) last = edit(shows, last, tempo(119 + i, 120 + i), `edit-${i}`);
    const again = new ShowTable(open(folder));
    expect(again.open('tiny')).toEqual({ revision: last.revision, show: last.show });
    expect(again.draft(first.revision + 30).show.tempo).toBe(150);
    expect(again.draft(first.revision).show).toEqual(first.show);
    // History grows by the edit: a document is kept but now and then.
    const { whole } = db.prepare(`SELECT count(*) AS whole FROM revision WHERE document <> ''`).get() as { whole: number };
    expect(whole).toBe(3);
  });

  it('that are sent again are made once', () => {
    const shows = new ShowTable(open());
    const first = shows.keep(show, 'import', AT);
    const once = edit(shows, first, tempo(120, 130), 'the-same');
    const twice = edit(shows, first, tempo(120, 130), 'the-same');
    expect(twice.revision).toBe(once.revision);
    expect(shows.revisions('tiny')).toHaveLength(2);
  });

  it('tell who changed a thing last', () => {
    const shows = new ShowTable(open());
    const first = shows.keep(show, 'import', AT);
    const mias = edit(shows, first, tempo(120, 130), 'edit-of-mia');
    edit(shows, mias, { do: 'set', kind: 'look', id: 'dinner', field: 'fade', was: 2, now: 3 }, 'edit-of-tom', 'Tom');
    expect(shows.edits.lastChange('tiny', 'show', 'tiny', 'tempo')).toEqual({ revision: mias.revision, who: 'Mia' });
    expect(shows.edits.lastChange('tiny', 'look', 'dinner', 'fade')?.who).toBe('Tom');
    expect(shows.edits.lastChange('tiny', 'look', 'dinner', 'name')).toBeUndefined();
  });

  it('leave out what an import of the same says', () => {
    const shows = new ShowTable(open());
    const first = shows.keep(show, 'import', AT);
    const edited = edit(shows, first, tempo(120, 130), 'edit-of-mia');
    expect(shows.keep(edited.show, 'import', AT).revision).toBe(edited.revision);
  });
});
