import './phone.css';

import { useEffect, useState } from 'preact/hooks';

import { reached } from '../api';
import { begunBy, begunCount } from '../local/begun';
import { madeMoment } from '../local/clock';
import type { Picture, Waiting } from '../local/db';
import { storage } from '../local/open';
import { waitsForPeople } from '../local/people';
import { outbox } from '../local/outbox';
import { dropPicture, keepPicture, pictures } from '../local/pictures';
import { held, refused, refusedPictures, send, sending, toSend } from '../local/sending';
import { Button, ButtonLink, Notice, notify, Page, Section } from '../parts';
import { ApiProblem, problemText } from '../problem';
import { access, selectedSite, session } from '../session';
import { format, words } from '../words';
import { onPhoneAsFile, saveFile } from './export';
import { Others } from './others';
import { RefusedRecord } from './refused';

/** How many waiting records are named; the rest is counted. */
const named = 50;

/** What is only on this phone: what waits, what was refused and why, and how to carry it away. */
export default function OnThisPhone() {
  const { phone } = words.value;
  const person = session.value?.person;
  const waits = toSend.value;
  const begun = begunBy(person?.id ?? '', 'look').length;
  const forms = begunBy(person?.id ?? '', 'dock').length;
  const photos = pictures.value.filter(({ person_id, problem }) => person_id === person?.id && problem === null).length;
  const nothing = outbox.value.length === 0 && pictures.value.length === 0 && begun + forms === 0;
  return (
    <Page title={phone.title}>
      <p class="lead">{phone.lead}</p>
      {access.value === 'expired' && (
        <Notice kind="problem" title={phone.signedOutTitle}>
          <p>{phone.signedOut}</p>
          <ButtonLink to="/sign-in?to=/phone" kind="primary">
            {words.value.signIn.title}
          </ButtonLink>
        </Notice>
      )}
      {nothing && <p>{phone.nothing}</p>}
      {refused.value.length > 0 && (
        <Section title={phone.refusedTitle(refused.value.length)}>
          {refused.value.map((one) => (
            <RefusedRecord key={one.seq} record={one} />
          ))}
        </Section>
      )}
      {waits.length > 0 && (
        <Section title={phone.waitsTitle(waits.length)}>
          {held.value && <p>{reached.value ? problemText(held.value, words.value) : phone.noNetwork}</p>}
          <div class="row">
            <Button kind="primary" busy={sending.value} disabled={access.value !== 'signed-in'} onClick={() => void send()}>
              {sending.value ? phone.sending : phone.sendNow}
            </Button>
          </div>
          <ul class="phone-records">
            {waits.slice(0, named).map((one) => (
              <li key={one.seq}>
                <b>{one.title || phone.untitled}</b> <RecordLine record={one} />
              </li>
            ))}
          </ul>
          {waits.length > named && <p class="quiet">{phone.andMore(waits.length - named)}</p>}
        </Section>
      )}
      {photos > 0 && (
        <Section title={phone.photosTitle(photos)}>
          <p>{phone.photos}</p>
        </Section>
      )}
      {refusedPictures.value.length > 0 && (
        <Section title={phone.photosRefused}>
          {refusedPictures.value.map((one) => (
            <RefusedPicture key={one.id} picture={one} />
          ))}
        </Section>
      )}
      {begun + forms > 0 && (
        <Section title={phone.begunTitle}>
          {begun > 0 && <p>{phone.begun(begun)}</p>}
          {forms > 0 && <p>{phone.begunForms(forms)}</p>}
          <div class="row">
            {begun > 0 && <ButtonLink to="/walk">{phone.toWalk}</ButtonLink>}
            {forms > 0 && <ButtonLink to="/dock">{phone.toDock}</ButtonLink>}
          </div>
        </Section>
      )}
      {(waitsForPeople(person?.id).length > 0 || begunCount({ othersThan: person?.id }) > 0) && (
        <Section title={phone.othersTitle}>
          <Others than={person?.id} />
        </Section>
      )}
      {!nothing && (
        <Section title={phone.fileTitle}>
          <p>{phone.file}</p>
          <Button onClick={() => saveFile(onPhoneAsFile(person?.id ?? ''))}>{phone.saveFile}</Button>
        </Section>
      )}
      <Section title={phone.keepTitle}>
        <Kept />
        <p>{phone.install}</p>
      </Section>
    </Page>
  );
}

/** The noun of a record and when it was made. */
export function RecordLine({ record }: { record: Waiting }) {
  const { phone } = words.value;
  const zone = selectedSite.value?.time_zone ?? 'UTC';
  return <span class="quiet">{phone.madeAt(phone.nouns[record.noun], format.value.moment(madeMoment(record), zone))}</span>;
}

/** A photo that the server refused: try again or let it go. */
function RefusedPicture({ picture }: { picture: Picture }) {
  const { phone, common } = words.value;
  const letGo = async (): Promise<void> => {
    if ((await dropPicture(picture.id)) === 'kept') notify(phone.letGone, { undo: () => void keepPicture(picture) });
  };
  const again = async (): Promise<void> => {
    await keepPicture({ ...picture, problem: null });
    await send();
  };
  return (
    <div class="phone-refused">
      <p>
        <b>{common.photo.of(picture.title)}</b> {picture.problem && problemText(new ApiProblem(picture.problem), words.value)}
      </p>
      <div class="row">
        <Button onClick={() => void again()}>{common.phone.sendAgain}</Button>
        <Button kind="quiet" onClick={() => void letGo()}>
          {phone.letGo}
        </Button>
      </div>
    </div>
  );
}

/** Whether the browser promised not to clear what is kept here. */
function Kept() {
  const { phone } = words.value;
  const [kept, setKept] = useState<boolean | null>(null);
  useEffect(() => {
    void storage()?.persisted().then(setKept, () => setKept(null));
  }, []);
  return <p>{kept === true ? phone.kept : phone.mayClear}</p>;
}
