import type { Condition, Organism } from '../../contract.gen';
import { Button, Details, NumberField, Progress, SelectField, Tag, TextField } from '../../parts';
import { words } from '../../words';
import { commonName, whereToLook } from '../../organism';
import { rowKey } from '../shared/drafts';
import { asSentence } from '../shared/marked';
import {
  lookedAtOf,
  otherSigns,
  plantsWithStage,
  signPointer,
  stages,
  tapped,
  untapped,
  withStage,
  type FindingDraft,
  type InspectionDraft,
  type SignDraft,
} from './draft';

interface Props {
  draft: InspectionDraft;
  at: number;
  organism: Organism | undefined;
  isMain: boolean;
  /** Plants the sample asks for; null while not known or not attainable. */
  asked: number | null;
  change: (finding: FindingDraft) => void;
  remove: () => void;
}

const notAlive: readonly Condition[] = ['parasitised', 'host_fed', 'dried'];

function Taps({ finding, asked, name, change }: { finding: FindingDraft; asked: number | null; name: string; change: (finding: FindingDraft) => void }) {
  const said = words.value.dock.inspection;
  const looked = finding.lookedAt ?? 0;
  return (
    <div class="dock-taps">
      {asked === null ? (
        <p>{said.progressFree(looked)}</p>
      ) : (
        <Progress label={looked >= asked ? `${said.progress(looked, asked)}. ${said.enough}` : said.progress(looked, asked)} value={Math.min(looked, asked)} max={asked} />
      )}
      <div class="dock-tap-pair">
        <Button size="large" aria-label={`${said.noneSeen}: ${name}`} onClick={() => change(tapped(finding, false))}>
          <span aria-hidden="true">○ </span>
          {said.noneSeen}
        </Button>
        <Button size="large" kind="strong" aria-label={`${said.seen}: ${name}`} onClick={() => change(tapped(finding, true))}>
          <span aria-hidden="true">● </span>
          {said.seen}
        </Button>
      </div>
      <div class="row">
        <Button onClick={() => change(tapped(finding, false, 10))}>{said.tenMore}</Button>
        <Button disabled={finding.taps.length === 0} onClick={() => change(untapped(finding))}>
          {said.undoTap}
        </Button>
      </div>
    </div>
  );
}

function Signs({ finding, at, organism, change }: { finding: FindingDraft; at: number; organism: Organism; change: (finding: FindingDraft) => void }) {
  const said = words.value.dock.inspection;
  const judged = stages.filter((stage) => stage === 'empty_case' || organism.infested_stages.some((each) => each === stage));
  const set = (key: string, part: Partial<SignDraft>): void =>
    change({ ...finding, signs: finding.signs.map((sign) => (sign.key === key ? { ...sign, ...part } : sign)) });
  return (
    <Details summary={said.signs} open={finding.signs.length > 0}>
      <p class="quiet">{said.signsHint}</p>
      <div class="dock-steppers">
        {judged.map((stage) => {
          const sign = finding.signs.find((each) => each.stage === stage && each.state === 'alive' && each.colour === '');
          return (
            <NumberField
              key={stage}
              label={said.stage[stage]}
              optional
              steps
              min={0}
              value={plantsWithStage(finding, stage)}
              onValue={(plants) => change(withStage(finding, stage, plants))}
              pointer={sign && signPointer(finding, at, sign)}
            />
          );
        })}
      </div>
      {otherSigns(finding).map((sign) => (
        <div key={sign.key} class="dock-row">
          <SelectField
            label={said.stageLabel}
            value={sign.stage}
            onValue={(stage) => stage && set(sign.key, { stage })}
            options={stages.map((value) => ({ value, label: said.stage[value] }))}
          />
          <SelectField
            label={said.stateLabel}
            value={sign.state}
            onValue={(state) => state && set(sign.key, { state })}
            options={notAlive.map((value) => ({ value, label: said.state[value] }))}
          />
          <Button class="dock-remove" aria-label={`${said.remove}: ${said.stage[sign.stage]}, ${said.state[sign.state]}`} onClick={() => change({ ...finding, signs: finding.signs.filter(({ key }) => key !== sign.key) })}>
            ×
          </Button>
          <NumberField
            label={said.signPlants}
            min={0}
            steps
            value={sign.plants}
            onValue={(plants) => set(sign.key, { plants })}
            pointer={signPointer(finding, at, sign)}
            class="dock-row-grow"
          />
          <TextField class="dock-row-wide" label={said.colour} optional maxLength={40} value={sign.colour} onValue={(colour) => set(sign.key, { colour })} />
        </div>
      ))}
      <div>
        <Button
          onClick={() =>
            change({ ...finding, signs: [...finding.signs, { key: rowKey(), stage: 'large_nymph', state: 'parasitised', colour: '', plants: 1 }] })
          }
        >
          {said.addSign}
        </Button>
      </div>
    </Details>
  );
}

/** Counting one pest or disease: plants looked at, plants with it, and what was seen of it. */
export function Finding({ draft, at, organism, isMain, asked, change, remove }: Props) {
  const said = words.value.dock.inspection;
  const finding = draft.findings[at];
  if (!finding) return null;
  const name = commonName(organism);
  const looked = lookedAtOf(draft, at);
  return (
    <section class="dock-finding" aria-label={name}>
      <header class="dock-finding-head">
        <h3>
          {asSentence(name)} {isMain && <Tag>{said.mainPest}</Tag>}
        </h3>
        {!isMain && (
          <Button kind="quiet" aria-label={said.removePest(name)} onClick={remove}>
            {said.remove}
          </Button>
        )}
      </header>
      {organism && whereToLook(organism) && <p class="quiet">{said.whereToLook(whereToLook(organism))}</p>}
      {at === 0 && <Taps finding={finding} asked={asked} name={name} change={change} />}
      <div class="dock-steppers">
        <NumberField
          label={said.lookedAt}
          steps
          min={0}
          optional={at > 0}
          value={finding.lookedAt}
          onValue={(lookedAt) => change({ ...finding, lookedAt, taps: [] })}
          pointer={`/findings/${at}/plants_looked_at`}
          hint={at > 0 && finding.lookedAt === null ? said.asMany(looked) : undefined}
        />
        <NumberField
          label={said.with}
          steps
          min={0}
          value={finding.infested}
          onValue={(infested) => change({ ...finding, infested: infested ?? 0, taps: [] })}
          pointer={`/findings/${at}/infested_plants`}
          error={finding.infested > looked && looked > 0 ? said.moreThanLooked : undefined}
        />
      </div>
      {organism && organism.infested_stages.length > 0 && <Signs finding={finding} at={at} organism={organism} change={change} />}
    </section>
  );
}
