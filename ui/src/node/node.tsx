import { Troubles } from '../parts/announcements.tsx';
import { hello } from '../state.ts';
import { Cautions } from './cautions.tsx';
import { InvitePhone } from './invite-phone.tsx';
import { NodeHealth } from './node-health.tsx';
import { PairedPhones } from './paired-phones.tsx';
import { ThisPhone } from './this-phone.tsx';

/** Who may press, what is plugged in, is the node well? */
export function House() {
  return (
    <div class="house">
      <Troubles />
      <h1>House</h1>
      <div class="columns">
        <div>
          <PairedPhones />
          <InvitePhone />
        </div>
        <div>
          <NodeHealth />
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
