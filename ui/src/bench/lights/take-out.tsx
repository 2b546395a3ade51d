import type { Show } from '../../../../node/show/document.ts';
import { type Gone, takingOut } from '../../../../node/show/take-out.ts';
import { Push } from '../../parts/push.tsx';
import { isOpen } from '../../state.ts';
import { change } from '../edits.ts';
import { mentionsInWords } from '../mentions.ts';
import { Lines } from './fields.tsx';

interface TakeOutProps {
  readonly show: Show;
  readonly gone: readonly Gone[];
  /** What it is called in a sentence: `it`, `them`. */
  readonly it: string;
  readonly label: string;
  readonly done: () => void;
}

/** Takes things out, and out of all that speaks of them; what that is stands above the button. */
export function TakeOut({ show, gone, it, label, done }: TakeOutProps) {
  const { changes, mentions } = takingOut(show, gone);
  const take = async (): Promise<void> => {
    if (await change(...changes)) done();
  };
  return (
    <div class="lights-take-out">
      <Lines lines={mentionsInWords(mentions, it)} />
      <Push disabled={!isOpen.value} onClick={() => void take()}>
        {label}
      </Push>
    </div>
  );
}
