import { useState } from 'preact/hooks';

import { client, fetchAll, save } from '../api';
import type { Letter, WeekReading, WeekSection } from '../contract.gen';
import { uuid7 } from '../local/uuid7';
import { Button, Loaded, notify, useLoad } from '../parts';
import { problemText, toProblem } from '../problem';
import { canRecord, session } from '../session';
import { More } from '../trends/more';
import { words } from '../words';
import { sectionName } from './section';
import { shownSections } from './state';

function Letters({ reading, section }: { reading: WeekReading; section: WeekSection | null }) {
  const { week: say, common } = words.value;
  const [busy, setBusy] = useState(false);
  const { site_id: site } = reading;
  const load = useLoad((signal) => fetchAll('letters', {}, signal), [site]);
  const about = section?.section_id ?? null;
  const subject = { site_id: site, ...(about !== null && { section_id: about }) };
  const failed = (thrown: unknown): void => notify(problemText(toProblem(thrown), words.value));
  const nameOf = (id: string | null | undefined): string => {
    const of = id ? reading.sections.find(({ section_id }) => section_id === id) : undefined;
    return of ? sectionName(of, reading) : say.all;
  };
  const keep = (letter: Letter | null, stopped: boolean): void => {
    const { section_id: of } = letter ?? subject;
    save('letters', letter?.id ?? uuid7(), { site_id: site, ...(of && { section_id: of }), stopped }, letter?.version).then((stored) => {
      notify(stopped ? say.letters.stopped : say.letters.begun, stopped ? { undo: () => keep(stored, false) } : {});
      load.reload();
    }, failed);
  };
  const sendNow = (): void => {
    setBusy(true);
    client
      .POST('/letter-now', { body: subject })
      .then(() => notify(say.letters.sent(session.value?.person.email ?? '')), failed)
      .finally(() => setBusy(false));
  };
  return (
    <div class="week-calendars">
      <p>{say.letters.lead(session.value?.person.email ?? '')}</p>
      <Loaded of={load}>
        {(letters) => {
          const here = letters.filter(({ site_id }) => site_id === site);
          const running = here.filter(({ stopped }) => !stopped);
          const same = here.find(({ section_id }) => (section_id ?? null) === about);
          return (
            <>
              {running.length > 0 && (
                <ul>
                  {running.map((letter) => (
                    <li key={letter.id}>
                      {nameOf(letter.section_id)}{' '}
                      <Button kind="quiet" aria-label={`${say.letters.stop}: ${nameOf(letter.section_id)}`} onClick={() => keep(letter, true)}>
                        {say.letters.stop}
                      </Button>
                    </li>
                  ))}
                </ul>
              )}
              <div class="row">
                {!running.some(({ id }) => id === same?.id) && <Button onClick={() => keep(same ?? null, false)}>{say.letters.begin(nameOf(about))}</Button>}
                <Button busy={busy} onClick={sendNow}>
                  {busy ? common.saving : say.letters.now}
                </Button>
              </div>
            </>
          );
        }}
      </Loaded>
    </div>
  );
}

/** The week by e-mail, every Monday morning, until it is stopped. Nothing where no mail server is set up. */
export function LettersPart({ reading, section }: { reading: WeekReading; section: string | null }) {
  if (!session.value?.letters || !canRecord(reading.site_id)) return null;
  const [one, ...others] = shownSections(reading, section);
  return <More class="week-own" summary={words.value.week.letters.title}>{() => <Letters reading={reading} section={one && others.length === 0 ? one : null} />}</More>;
}
