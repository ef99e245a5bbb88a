import { useState } from 'preact/hooks';

import { fetchAll, save } from '../api';
import type { Crop, Threshold, ThresholdBody } from '../contract.gen';
import { Button, ButtonLink, Details, Empty, Form, Loaded, Notice, notify, TextField, useLoad } from '../parts';
import { problemText, toProblem, type ApiProblem } from '../problem';
import { selectedSite, sites } from '../session';
import { format, words } from '../words';
import { commonName } from '../organism';
import { holds } from './access';
import { threshold, type Scopes } from './kinds/threshold';
import { ReadOnly } from './read-only';
import { bodyOf, draftOf, type Draft } from './record/kind';
import { Records } from './record/records';

async function fetchLimits(signal: AbortSignal): Promise<Scopes & { thresholds: Threshold[] }> {
  const [thresholds, organisms, crops, cultivars, houses] = await Promise.all([
    fetchAll('thresholds', {}, signal),
    fetchAll('organisms', {}, signal),
    fetchAll('crops', {}, signal),
    fetchAll('cultivars', {}, signal),
    fetchAll('houses', {}, signal),
  ]);
  return {
    thresholds: thresholds.toSorted((a, b) => a.from_on.localeCompare(b.from_on) || a.to_on.localeCompare(b.to_on)),
    organisms,
    crops,
    cultivars: cultivars.toSorted((a, b) => a.name.localeCompare(b.name)),
    houses: houses
      .map((house) => ({ ...house, site: sites.value.find(({ id }) => id === house.site_id)?.name ?? '' }))
      .toSorted((a, b) => `${a.site} ${a.name}`.localeCompare(`${b.site} ${b.name}`, undefined, { numeric: true })),
  };
}

/** What a limit is about and from when to when. */
function limitName(limit: Threshold, scopes: Scopes): string {
  const { setup } = words.value;
  const f = format.value;
  const sameYear = limit.from_on.slice(0, 4) === limit.to_on.slice(0, 4);
  const dates = setup.fromTo(sameYear ? f.date(limit.from_on) : f.fullDate(limit.from_on), f.fullDate(limit.to_on));
  const crop = scopes.crops.find(({ id }) => id === limit.crop_id)?.name;
  const organism = scopes.organisms.find(({ id }) => id === limit.organism_id);
  return setup.limitName(f.percent(limit.percent), organism ? commonName(organism) : '', crop ?? '', dates);
}

function LimitNote({ limit, scopes }: { limit: Threshold; scopes: Scopes }) {
  const { setup, common } = words.value;
  const f = format.value;
  const house = scopes.houses.find(({ id }) => id === limit.house_id);
  const cultivar = scopes.cultivars.find(({ id }) => id === limit.cultivar_id);
  const zone = selectedSite.value?.time_zone ?? 'UTC';
  const where = [
    limit.effect === 'act' ? setup.effect.act : setup.effect.went_well,
    cultivar?.name ?? setup.everyCultivar,
    house ? `${house.site} · ${house.name}` : setup.everyHouse,
    ...(limit.smallest_plants ? [setup.judgedFrom(common.plants(limit.smallest_plants))] : []),
  ];
  return (
    <>
      <p>{where.join(' · ')}</p>
      <p>{setup.sourceIs(limit.source)}</p>
      <p>{setup.setBy(limit.recorded_by.name, f.moment(limit.recorded_at, zone))}</p>
      {limit.withdrawn_because && <p>{setup.withdrawnBecause(limit.withdrawn_because)}</p>}
    </>
  );
}

/** Takes a limit out of use, with a reason; undone with one tap. */
function Withdraw({ limit, scopes, onChange }: { limit: Threshold; scopes: Scopes; onChange: () => void }) {
  const { setup, common } = words.value;
  const [open, setOpen] = useState(false);
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const before = bodyOf(draftOf<ThresholdBody, Threshold>(threshold(scopes), limit));
  const undo = (version: number): void => {
    save('thresholds', limit.id, before, version).then(
      () => {
        notify(common.undone);
        onChange();
      },
      (thrown: unknown) => notify(problemText(toProblem(thrown), words.value)),
    );
  };
  const send = (): void => {
    save('thresholds', limit.id, { ...before, withdrawn_because: reason.trim() || setup.noReason }, limit.version).then(
      ({ version }) => {
        notify(setup.limitWithdrawn, { undo: () => undo(version) });
        setOpen(false);
        onChange();
      },
      (thrown: unknown) => setProblem(toProblem(thrown)),
    );
  };
  if (!open) {
    return (
      <Button kind="quiet" aria-label={`${setup.withdraw}: ${limitName(limit, scopes)}`} onClick={() => setOpen(true)}>
        {setup.withdraw}
      </Button>
    );
  }
  return (
    <Form problem={problem} label={setup.withdraw} onSubmit={send}>
      <TextField label={setup.withdrawnWhy} pointer="/withdrawn_because" value={reason} onValue={setReason} maxLength={500} optional />
      <div class="form-actions">
        <Button type="submit">{setup.withdraw}</Button>
        <Button kind="quiet" onClick={() => setOpen(false)}>
          {common.cancel}
        </Button>
      </div>
    </Form>
  );
}

function starting(only: Crop | undefined): Draft<ThresholdBody> {
  return { effect: 'act', ...(only && { crop_id: only.id, organism_id: only.main_organism_id }) };
}

/** The dated limits on the share of infested plants. */
export default function Limits() {
  const { setup } = words.value;
  const load = useLoad(fetchLimits, []);
  const mayWrite = holds('grower', 'owner');
  return (
    <>
      <ReadOnly unless={mayWrite}>{setup.readOnly.limits}</ReadOnly>
      <Notice>
        <p>{setup.limitsCaution}</p>
      </Notice>
      <Loaded of={load}>
        {({ thresholds, ...scopes }) => {
          if (scopes.crops.length === 0) {
            return (
              <Empty title={setup.empty.cropTitle} action={<ButtonLink to="/setup/stock">{setup.area.stock}</ButtonLink>}>
                <p>{setup.empty.crop}</p>
              </Empty>
            );
          }
          const withdrawn = thresholds.filter((limit) => limit.withdrawn_because);
          const only = scopes.crops.length === 1 ? scopes.crops[0] : undefined;
          const list = { kind: threshold(scopes), name: (limit: Threshold) => limitName(limit, scopes), mayWrite, onChange: load.reload };
          return (
            <>
              <Records
                {...list}
                rows={thresholds.filter((limit) => !limit.withdrawn_because)}
                note={(limit) => <LimitNote limit={limit} scopes={scopes} />}
                actions={(limit) => mayWrite && <Withdraw limit={limit} scopes={scopes} onChange={load.reload} />}
                addLabel={setup.add.limit}
                start={() => starting(only)}
                empty={
                  <Empty title={setup.empty.limitTitle}>
                    <p>{setup.empty.limit}</p>
                  </Empty>
                }
              />
              {withdrawn.length > 0 && (
                <Details summary={setup.withdrawnLimits(withdrawn.length)}>
                  <Records {...list} mayWrite={false} rows={withdrawn} note={(limit) => <LimitNote limit={limit} scopes={scopes} />} empty={null} />
                </Details>
              )}
            </>
          );
        }}
      </Loaded>
    </>
  );
}
