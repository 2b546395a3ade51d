import { useEffect, useState } from 'preact/hooks';
import { HIGHEST_FLASHES, MOST_FLASHES } from '../../../node/core/limits.ts';
import { Push } from '../parts/push.tsx';
import { tell } from '../presses.ts';
import { isOpen, may } from '../state.ts';

/** Limits to choose from: what guidance for clubs in the United Kingdom allows, a quick beat, and the most. */
const LIMITS = [4, 6, HIGHEST_FLASHES];

/** Raised in two touches, the second beside what it can do to people; lowered in one. */
export function FlashLimit({ most }: { readonly most: number }) {
  const [asks, setAsks] = useState(false);
  const isRaised = most > MOST_FLASHES;
  useEffect(() => {
    if (isRaised) setAsks(false);
  }, [isRaised]);
  if (isRaised) return <Raised most={most} />;
  if (!may('raise-flashes')) return null;
  if (!asks)
    return (
      <>
        <div class="pair">
          <Push disabled={!isOpen.value} onClick={() => setAsks(true)}>
            Allow quicker flashes…
          </Push>
        </div>
        <p class="quiet">No light flashes more than three times a second.</p>
      </>
    );
  return (
    <section
      class="trouble urgent"
      role="alertdialog"
      aria-label="Allow quicker flashes?"
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return;
        event.stopPropagation();
        setAsks(false);
      }}
    >
      <p>
        <strong>Flashes can bring on seizures,</strong> also in people who never had one; most of all in the young, and faster than
        anybody stops the light. More than three a second put more people at risk. Tell guests at the door, keep it to seconds,
        leave it out where pupils dance. Venue and law come first; some permit no more than four. You have read this: how many a
        second?
      </p>
      <div class="pair">
        <Push kind="main" onClick={() => setAsks(false)}>
          Stay at 3
        </Push>
        {LIMITS.map((limit) => (
          <Push
            key={limit}
            label={`Up to ${limit} a second`}
            disabled={!isOpen.value}
            onClick={() => tell({ do: 'raise-flashes', most: limit, read: true })}
          >
            {limit}
          </Push>
        ))}
      </div>
    </section>
  );
}

const Raised = ({ most }: { readonly most: number }) => (
  <>
    <div class="pair">
      <Push disabled={!isOpen.value} onClick={() => tell({ do: 'lower-flashes' })}>
        Back to three flashes a second
      </Push>
    </div>
    <p class="quiet">
      Up to {most} flashes a second are allowed for this run. All off, lights up, or no operator’s phone in reach end that too.
    </p>
  </>
);
