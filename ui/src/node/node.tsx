import { hello } from '../state.ts';
import { HeldBack } from './held-back.tsx';
import { InvitePhone } from './invite-phone.tsx';
import { NodeHealth } from './node-health.tsx';
import './node.css';
import { PairedPhones } from './paired-phones.tsx';
import { ThisPhone } from './this-phone.tsx';

/** Who may press, what is plugged in, is the node well? */
export function PhonesAndNode() {
  return (
    <div class="node prose">
      <h1>Phones and node</h1>
      <a class="push to-papers" href="#/papers">
        Papers
      </a>
      <div class="columns">
        <div>
          <PairedPhones />
          <InvitePhone />
        </div>
        <div>
          <NodeHealth />
          <HeldBack />
          <ThisPhone />
        </div>
        <div>
          <Cautions />
          <section>
            <h2>Licence and credits</h2>
            <p class="quiet">
              Duskhand {hello.value?.node.version}, MIT licence. The typeface is Source Sans 3, SIL Open Font License 1.1.
            </p>
            <p class="quiet">Art-Net™ Designed by and Copyright Artistic Licence Engineering Ltd</p>
          </section>
        </div>
      </div>
    </div>
  );
}

const cautions = [
  'It controls show lighting only, never house, exit or emergency lighting. Those must work without it.',
  'Flashing light can bring on seizures, most of all in the young. Tell guests at the door, keep flashes slow and short, or leave them out.',
  'Never point beams or lasers into eyes. Lasers need their own licensed plan and permits.',
  'Haze and smoke set off detectors and trouble some lungs. Ask the venue first, in writing; only the venue may deal with its detectors.',
  'Count the load on every circuit, other suppliers’ plugs included.',
  'Stands and anything overhead: rated load at that height, safety cables, a wide base, and wind outdoors.',
  'A blackout hides cables and steps. Tape cables down, and look at the floor before you use it.',
] as const;

const Cautions = () => (
  <section>
    <h2>Cautions</h2>
    <ul class="cautions">
      {cautions.map((caution) => (
        <li key={caution}>{caution}</li>
      ))}
    </ul>
    <p>The maker’s manual, the venue, local codes and licensed people come first, always.</p>
  </section>
);
