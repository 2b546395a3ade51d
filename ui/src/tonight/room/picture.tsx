import { useEffect, useMemo, useRef } from 'preact/hooks';
import { roomInWords } from '../../parts/room-words.ts';
import { hello, picture } from '../../state.ts';
import { RoomLight } from './light.ts';
import { EDGES, HEIGHT, WIDTH } from './shape.ts';

/** Light in the picture settles in about a third of a second: a strobe in the room is a glow here, for the interface never flashes. */
const SETTLES = 130;
const FRAME = 45;

/** The room, painted from the levels that really go to the wire. */
export function RoomPicture() {
  const canvas = useRef<HTMLCanvasElement>(null);
  const fixtures = hello.value?.show.fixtures;
  const light = useMemo(() => new RoomLight(fixtures ?? []), [fixtures]);
  useEffect(() => {
    const context = canvas.current?.getContext('2d', { alpha: false });
    if (!context) return;
    const image = context.createImageData(light.grid.columns, light.grid.rows);
    let frame = 0;
    let painted = -FRAME;
    const draw = (now: number) => {
      frame = 0;
      const passed = Math.min(200, now - painted);
      if (passed >= FRAME) {
        painted = now;
        const moving = light.approach(1 - Math.exp(-passed / SETTLES));
        light.paint(image.data);
        context.putImageData(image, 0, 0);
        if (!moving) return;
      }
      frame = requestAnimationFrame(draw);
    };
    const unsubscribe = picture.subscribe((colours) => {
      light.want(colours);
      if (frame === 0) frame = requestAnimationFrame(draw);
    });
    return () => {
      unsubscribe();
      cancelAnimationFrame(frame);
    };
  }, [light]);
  return (
    <div class="room" role="img" aria-label={`The room now: ${roomInWords(fixtures ?? [], picture.value)}`}>
      <canvas ref={canvas} width={light.grid.columns} height={light.grid.rows} />
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
        <path d={EDGES} vector-effect="non-scaling-stroke" />
      </svg>
    </div>
  );
}
