import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { Show } from '../../node/show/document.ts';
import { faultsOf } from '../../node/show/faults.ts';
import { checkShow } from '../../node/show/read.ts';
import { mendStore } from '../../node/store/mend.ts';
import { demosIn, Shelf } from '../../node/store/shelf.ts';
import { ShowTable } from '../../node/store/shows.ts';
import { smallShow } from '../show/small-show.ts';
import { newFolder, open } from './new-folder.ts';

const AT = Date.UTC(2030, 5, 15);
const ME = { id: 7, name: 'Mia' };
const barn = (more: Partial<Show> = {}): Show => ({ ...checkShow(smallShow()), id: 'barn', name: 'Barn', ...more });
/** It cannot be played: a look of it speaks of no fixture. */
const unfinished = (show: Show): Show => ({ ...show, looks: show.looks.map((look) => ({ ...look, parts: [] })) });

function shelfOf(folder = newFolder()) {
  const db = open(folder);
  const shows = new ShowTable(db);
  return { db, shows, shelf: new Shelf(db, shows) };
}

describe('the shelf', () => {
  it('tells of every show what it is called, and when and by whom it was changed; the newest change comes first', () => {
    const { shows, shelf } = shelfOf();
    shows.keep(barn(), 'Mia', AT);
    shelf.addEmpty('Harvest supper', 'Noa', AT + 1000);
    shelf.rename('barn', { was: 'Barn', now: 'Old barn' }, ME, AT + 2000);
    expect(shelf.rows()).toEqual([
      { id: 'barn', name: 'Old barn', demo: false, isEmpty: false, at: AT + 2000, who: 'Mia', what: 'name of the show' },
      { id: 'harvest-supper', name: 'Harvest supper', demo: false, isEmpty: true, at: AT + 1000, who: 'Noa', what: '' },
    ]);
    // Renaming is a step of the history, and the person's own.
    expect(shows.edits.stepsOf('barn', 7).undo?.what).toBe('name of the show');
    expect(shows.revisions('barn')).toHaveLength(2);
  });

  it('makes no two shows of one id, whatever they are called, and none twice of the same document', () => {
    const { shows, shelf } = shelfOf();
    expect(shelf.add(barn(), 'Mia', AT).id).toBe('barn');
    expect(shelf.add(barn(), 'Mia', AT).id).toBe('barn');
    expect(shelf.add(barn({ tempo: 99 }), 'Mia', AT).id).toBe('barn-2');
    expect(shelf.addEmpty('Barn', 'Mia', AT).id).toBe('barn-3');
    expect(shelf.copy('barn', 'Barn', 'Mia', AT).id).toBe('barn-4');
    expect(shows.ids()).toEqual(['barn', 'barn-2', 'barn-3', 'barn-4']);
    expect(shows.open('barn')?.show.tempo).toBe(barn().tempo);
    expect(shows.open('barn-4')?.show).toEqual({ ...barn(), id: 'barn-4' });
  });

  it('opens what is unfinished with the last state that can be played: of a copy, and of a file that was never whole', () => {
    const { shows, shelf } = shelfOf();
    shows.keep(barn(), 'Mia', AT);
    shows.keep(unfinished(barn()), 'Mia', AT);
    shelf.copy('barn', 'Copy', 'Mia', AT);
    const { playable, draft } = shelf.opened('copy');
    expect(playable.show).toEqual({ ...barn(), id: 'copy', name: 'Copy' });
    expect(draft.show).toEqual({ ...unfinished(barn()), id: 'copy', name: 'Copy' });
    const added = shelf.add(unfinished(barn({ id: 'tent', name: 'Tent' })), 'a file', AT);
    const opened = shelf.opened(added.id);
    expect(opened.draft.show).toEqual(added);
    expect(opened.playable.show).toMatchObject({ name: 'Tent', fixtures: [], looks: [] });
    expect(faultsOf(opened.playable.show)).toEqual([]);
  });

  it('keeps all revisions of what lies in the bin, also where the store is mended; whoever brings it anew takes it out', () => {
    const folder = newFolder();
    const { db, shows, shelf } = shelfOf(folder);
    shows.keep(barn({ tempo: 90 }), 'Mia', AT);
    shows.keep(barn({ tempo: 91 }), 'Mia', AT);
    shelf.bin('barn', 'Noa', AT + 5);
    shelf.bin('barn', 'Mia', AT + 9);
    expect(shelf.rows()[0]?.binned).toEqual({ at: AT + 5, who: 'Noa' });
    db.close();
    mendStore(folder);
    const again = shelfOf(folder);
    expect(again.shelf.rows()[0]?.binned).toEqual({ at: AT + 5, who: 'Noa' });
    expect(again.shows.revisions('barn')).toHaveLength(2);
    again.shelf.unbin('barn');
    expect(again.shelf.rows()[0]?.binned).toBeUndefined();
    again.shelf.bin('barn', 'Noa', AT);
    again.shows.keep(barn({ tempo: 91 }), 'import', AT);
    expect(again.shelf.rows()[0]?.binned).toBeUndefined();
  });

  it('refuses in words what is not there, and a name that somebody else has changed meanwhile', () => {
    const { shows, shelf } = shelfOf();
    shows.keep(barn(), 'Mia', AT);
    expect(() => shelf.opened('tent')).toThrow('There is no show "tent" any more; there is barn');
    expect(() => shelf.bin('tent', 'Mia', AT)).toThrow('There is no show "tent"');
    shelf.rename('barn', { was: 'Barn', now: 'Shed' }, ME, AT);
    expect(() => shelf.rename('barn', { was: 'Barn', now: 'Stable' }, ME, AT)).toThrow('It is called "Shed" meanwhile');
    expect(() => shelf.rename('barn', { was: 'Shed', now: ' ' }, ME, AT)).toThrow('The edit cannot be made');
    expect(shows.open('barn')?.show.name).toBe('Shed');
  });

  it('tells also of a show that cannot be read, and leaves it as it is', () => {
    const { db, shows, shelf } = shelfOf();
    shows.keep(barn(), 'Mia', AT);
    db.prepare("UPDATE revision SET document = '{}'").run();
    expect(shelf.rows()).toMatchObject([{ id: 'barn', name: 'barn', trouble: 'This is not a Duskhand show' }]);
  });
});

describe('the shows that come with the program', () => {
  it('are found where it is installed, and all can be played', () => {
    const demos = demosIn(fileURLToPath(new URL('../../shows/', import.meta.url)));
    expect(demos.map(({ name }) => name)).toEqual(['Barn wedding', 'Garden party', 'Winter dance']);
    for (const { show } of demos) expect([show.demo, faultsOf(show)]).toEqual([true, []]);
  });
});
