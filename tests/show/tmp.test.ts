import { it } from 'vitest';
import { demoNames, demoShow } from './demo-show.ts';
import { flashes, mostInOneSecond, together } from './flash-count.ts';
import { watch } from './lamp-light.ts';
it('x', () => { for (const n of demoNames) { const s = demoShow(n); for (const b of s.buttons) for (const on of [[b.id], ['dance-floor', b.id]]) { const { light } = watch(s, on, 180, 16); const f = [...light].map(([id, l]) => [id, flashes(l, 1/40)] as const); const t = together(f.map(x => x[1]), 1/40); console.log(n, on.join('+'), mostInOneSecond(t), (t.length/16).toFixed(2)); if (on[0]=='dance-floor'&&b.id=='dance-floor') console.log(f.filter(x=>x[1].length).map(x=>x[0]+' '+x[1].map(v=>v.toFixed(2)).join(' ')).join('\n')); } } });
