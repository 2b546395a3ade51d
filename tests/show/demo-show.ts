import { readFileSync } from 'node:fs';
import type { Part, Show } from '../../node/show/document.ts';
import { checkShow } from '../../node/show/read.ts';

export const demoNames = ['barn-wedding', 'winter-dance', 'garden-party'] as const;
export type DemoName = (typeof demoNames)[number];

export const demoText = (name: DemoName): string => readFileSync(new URL(`../../shows/${name}.json`, import.meta.url), 'utf8');
export const demoShow = (name: DemoName): Show => checkShow(JSON.parse(demoText(name)));

/** Ids of the lamps that a part speaks of. */
export const members = (show: Show, who: Part['who']): string[] =>
  show.fixtures
    .filter(({ id, use }) =>
      who.some((one) => {
        if ('group' in one) return show.groups.some((group) => group.id === one.group && group.fixtures.includes(id));
        return 'all' in one || ('use' in one ? one.use === use : one.fixture === id);
      }),
    )
    .map(({ id }) => id);
