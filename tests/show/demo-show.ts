import { readFileSync } from 'node:fs';
import type { Show } from '../../node/show/document.ts';
import { readShow } from '../../node/show/read.ts';

export const demoNames = ['barn-wedding', 'winter-dance', 'garden-party'] as const;
export type DemoName = (typeof demoNames)[number];

export const demoText = (name: DemoName): string => readFileSync(new URL(`../../shows/${name}.json`, import.meta.url), 'utf8');
export const demoShow = (name: DemoName): Show => readShow(demoText(name));
