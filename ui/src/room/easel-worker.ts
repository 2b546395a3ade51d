import { Easel, type Order } from './easel.ts';

/** The pictures' own thread: whatever they cost, a finger's button does not wait for them. */
const easel = new Easel();
addEventListener('message', ({ data }: MessageEvent<Order>) => easel.take(data));
