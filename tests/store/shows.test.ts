import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ShowTable } from '../../node/store/shows.ts';
import { tinyShow } from '../helpers/tiny-show.ts';
import { newFolder, open } from './new-folder.ts';

const show = (id: string, tempo = 120) => ({ ...tinyShow({ tempo }), id });
const AT = Date.UTC(2030, 5, 15);

describe('shows', () => {
  it('are kept with every revision; the newest is the one that opens', () => {
    const shows = new ShowTable(open());
    expect(shows.revisions()).toEqual([]);
    expect(shows.ids()).toEqual([]);
    const first = shows.keep(show('barn', 100), 'a test', AT);
    const second = shows.keep(show('barn', 110), 'a test', AT);
    expect(second.revision).toBeGreaterThan(first.revision);
    expect(shows.open('barn')).toEqual({ revision: second.revision, show: show('barn', 110) });
    expect(shows.read(first.revision)).toEqual({ revision: first.revision, show: show('barn', 100) });
    expect(shows.open('tent')).toBeUndefined();
    expect(shows.showOf(first.revision)).toBe('barn');
    expect(shows.showOf(99)).toBeUndefined();
  });

  it('add no revision when the document is the newest one already, but do when it is an older one', () => {
    const shows = new ShowTable(open());
    const first = shows.keep(show('barn', 100), 'a test', AT);
    expect(shows.keep(show('barn', 100), 'another', AT + 1).revision).toBe(first.revision);
    shows.keep(show('barn', 110), 'a test', AT);
    const back = shows.keep(show('barn', 100), 'a test', AT);
    expect(back.revision).not.toBe(first.revision);
    expect(shows.open('barn')?.show.tempo).toBe(100);
  });

  it('are the same in whatever order their fields stand', () => {
    const shows = new ShowTable(open());
    const first = shows.keep(show('barn'), 'a test', AT);
    const turned = Object.fromEntries(Object.entries(show('barn')).reverse()) as ReturnType<typeof show>;
    expect(JSON.stringify(turned)).not.toBe(JSON.stringify(show('barn')));
    expect(shows.keep(turned, 'a test', AT).revision).toBe(first.revision);
    // The order of a list is part of what it says.
    const lists = {
      ...show('barn'),
      fixtures: [...show('barn').fixtures, { ...show('barn').fixtures[0], id: 'other', address: 9 }],
    };
    const two = shows.keep(lists as ReturnType<typeof show>, 'a test', AT);
    const three = shows.keep({ ...lists, fixtures: [...lists.fixtures].reverse() } as ReturnType<typeof show>, 'a test', AT);
    expect(three.revision).not.toBe(two.revision);
  });

  it('are each for itself, and the revision that was kept last comes first', () => {
    const shows = new ShowTable(open());
    shows.keep(show('tent'), 'a test', AT);
    shows.keep(show('barn'), 'a test', AT);
    expect(shows.showOf(shows.revisions()[0] ?? 0)).toBe('barn');
    shows.keep(show('tent', 90), 'a test', AT);
    expect(shows.showOf(shows.revisions()[0] ?? 0)).toBe('tent');
    expect(shows.revisions('tent')).toHaveLength(2);
    expect(shows.open('barn')?.show.tempo).toBe(120);
    expect(shows.ids()).toEqual(['barn', 'tent']);
  });

  it('lose no revision, whatever is kept in whatever order, and none with the next opening', () => {
    const kept = fc.array(fc.record({ id: fc.constantFrom('barn', 'tent', 'hall'), tempo: fc.integer({ min: 90, max: 94 }) }), {
      maxLength: 20,
    });
    fc.assert(
      fc.property(kept, (sequence) => {
        const folder = newFolder();
        const shows = new ShowTable(open(folder));
        const written = new Map<number, { id: string; tempo: number }>();
        const newest = new Map<string, number>();
        for (const one of sequence) {
          const same = newest.get(one.id);
          const { revision } = shows.keep(show(one.id, one.tempo), 'a test', AT);
          if (same !== undefined && written.get(same)?.tempo === one.tempo) expect(revision).toBe(same);
          else expect(written.has(revision)).toBe(false);
          written.set(revision, one);
          newest.set(one.id, revision);
        }
        const again = new ShowTable(open(folder));
        for (const [revision, { id, tempo }] of written) expect(again.read(revision).show).toMatchObject({ id, tempo });
        for (const [id, revision] of newest) expect(again.open(id)?.revision).toBe(revision);
      }),
      { numRuns: 20 },
    );
  });
});
