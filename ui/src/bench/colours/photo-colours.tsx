import { useRef, useState } from 'preact/hooks';
import './photo-colours.css';
import { photoColours } from '../../../../node/light/photo-colours.ts';
import type { AskedChange } from '../../../../node/show/change.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { change, idAfter } from '../edits.ts';
import { type Proposal, proposalsOf } from './proposals.ts';

/** Longest side of a picture in pixels when its colours are looked for: its details do not count. */
const SIDE = 240;

type Colours = Show['theme']['colours'];

/** A theme out of a picture: an invitation, a bouquet. It is looked at in this browser only. */
export function PhotoColours({ colours }: { readonly colours: Colours }) {
  const [proposals, setProposals] = useState<readonly Proposal[]>([]);
  const [said, setSaid] = useState('');
  const [isOver, setOver] = useState(false);
  const canvas = useRef<HTMLCanvasElement>(null);

  const look = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    setProposals([]);
    setSaid('Looking…');
    try {
      const rgba = await pixelsOf(file, canvas.current);
      const found = proposalsOf(
        photoColours(rgba).map(({ packed }) => packed),
        colours,
      );
      setProposals(found);
      setSaid(found.length === 0 ? 'It is too dark to find colours in it. Take one in more light.' : '');
    } catch {
      setSaid(`${file.name === '' ? 'This file' : file.name} is no picture that this browser can read. A JPEG or PNG will do.`);
    }
  };
  const isThere = (value: string): boolean => colours.some((one) => one.value.toLowerCase() === value);
  const left = proposals.filter(({ value }) => !isThere(value));
  const add = (some: readonly Proposal[]): void => {
    const taken: { id: string }[] = [...colours];
    const changes = some.map(({ name, value }): AskedChange => {
      const id = idAfter(name, taken);
      taken.push({ id });
      return { do: 'add', kind: 'themeColour', id, now: { id, name, value } };
    });
    void change(...changes);
  };
  return (
    <section
      class="photo-colours"
      aria-labelledby="photo-colours"
      data-over={isOver}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        void look(event.dataTransfer?.files[0]);
      }}
    >
      <h2 id="photo-colours">Colours from a photo</h2>
      <p class="quiet">
        An invitation, a bouquet, a dress. The photo stays in this device: only the colours that you add leave it.
      </p>
      <div class="bench-row">
        <FileButton label="Take a photo" capture onFile={look} />
        <FileButton label="Choose a picture" onFile={look} />
      </div>
      <canvas ref={canvas} class="photo-colours-picture" width={0} height={0} hidden={proposals.length === 0} />
      <p role="status">{said}</p>
      {proposals.length > 0 && (
        <>
          <ul {...as.list}>
            {proposals.map((one) => (
              <li key={one.value}>
                <span class="photo-colours-swatch" style={{ background: one.value }} aria-hidden="true" />
                <span>
                  {one.name} <small class="quiet">{one.value}</small>
                </span>
                {isThere(one.value) ? (
                  <span class="quiet">in the theme</span>
                ) : (
                  <Push label={`Add ${one.name}`} disabled={!isOpen.value} onClick={() => add([one])}>
                    Add
                  </Push>
                )}
              </li>
            ))}
          </ul>
          {left.length > 1 && (
            <Push disabled={!isOpen.value} onClick={() => add(left)}>
              {left.length === proposals.length ? 'Add all of them' : 'Add the others'}
            </Push>
          )}
          <p class="quiet">Light has no dark colours: each is as bright here as lamps give it.</p>
        </>
      )}
    </section>
  );
}

interface FileButtonProps {
  readonly label: string;
  /** With the camera at once, where there is one. */
  readonly capture?: boolean;
  readonly onFile: (file: File | undefined) => Promise<void>;
}

function FileButton({ label, capture = false, onFile }: FileButtonProps) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <Push onClick={() => input.current?.click()}>{label}</Push>
      <input
        ref={input}
        hidden
        type="file"
        accept="image/*"
        {...(capture ? { capture: 'environment' as const } : {})}
        aria-label={`${label}: the file`}
        onChange={async ({ currentTarget }) => {
          await onFile(currentTarget.files?.[0]);
          currentTarget.value = '';
        }}
      />
    </>
  );
}

/** The pixels of a picture, small; it is shown in `canvas` as it is looked at. */
async function pixelsOf(file: File, canvas: HTMLCanvasElement | null): Promise<Uint8ClampedArray> {
  const bitmap = await createImageBitmap(file);
  try {
    const scale = Math.min(1, SIDE / Math.max(bitmap.width, bitmap.height));
    const own = canvas ?? document.createElement('canvas');
    own.width = Math.max(1, Math.round(bitmap.width * scale));
    own.height = Math.max(1, Math.round(bitmap.height * scale));
    const context = own.getContext('2d', { willReadFrequently: true });
    if (context === null) throw new Error('no canvas');
    context.drawImage(bitmap, 0, 0, own.width, own.height);
    return context.getImageData(0, 0, own.width, own.height).data;
  } finally {
    bitmap.close();
  }
}
