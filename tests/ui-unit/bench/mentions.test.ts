import { expect, it } from 'vitest';
import type { Show } from '../../../node/show/document.ts';
import { readDraft } from '../../../node/show/read.ts';
import { type Gone, type Mention, takingOut } from '../../../node/show/take-out.ts';
import { clausesOf, mentionsInWords } from '../../../ui/src/bench/mentions.ts';
import { smallShow } from '../../show/small-show.ts';

const small = readDraft(smallShow()).show;
const also = (gone: Gone, show: Show = small): string[] => clausesOf(takingOut(show, [gone]).mentions);

it('what else a removal changes is said thing by thing', () => {
  expect(also({ kind: 'look', id: 'warm' })).toEqual([
    'the button Warm, with nothing else to start, goes too',
    'the moment All night loses a button',
    'the show starts without it',
  ]);
  expect(also({ kind: 'chase', id: 'turn' })).toEqual(['the button Warm does without it', 'the button Turn does without it']);
  expect(also({ kind: 'button', id: 'turn' })).toEqual(['the moment All night loses a button']);
  expect(also({ kind: 'look', id: 'warm' }, { ...small, fallback: { look: 'warm' } })).toContain(
    'without a phone the room goes dark instead of coming to it',
  );
});

it('what speaks of a light is said by its name, and what has nothing left then', () => {
  const mention = (kind: 'look' | 'group' | 'show', name: string, what: Mention['what'] = 'without'): Mention => ({
    ...{ kind, id: name, name, what },
    fields: [],
  });
  expect(mentionsInWords([], 'it')).toEqual([]);
  expect(mentionsInWords([mention('look', 'Dinner')], 'it')).toEqual(['“Dinner” speaks of it; that goes on without.']);
  expect(
    mentionsInWords(
      [mention('look', 'Dinner'), mention('look', 'Dance'), mention('look', 'End'), mention('group', 'Wall', 'emptied')],
      'it',
    ),
  ).toEqual([
    '“Dinner” and 2 more looks and “Wall” speak of it; those go on without.',
    '“Wall” has nothing left then, and must be mended before the show can be played.',
  ]);
});
