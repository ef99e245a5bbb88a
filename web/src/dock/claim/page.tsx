import './claim.css';

import { useEffect, useRef } from 'preact/hooks';

import type { Claim } from '../../contract.gen';
import { pictures } from '../../local/pictures';
import { Answer, Button, ButtonLink, Details, Empty, Notice, notify, Page, ProblemNotice, Section, useLoad } from '../../parts';
import { Photos } from '../../photos';
import { go, Link, useRoute, withQuery } from '../../router';
import { canRecord, selectedSite } from '../../session';
import { format, words } from '../../words';
import { recallWorked } from '../overview/worked';
import { ShowHere, useHere } from '../shared/here';
import { Marked } from '../shared/marked';
import { refuseMissing } from '../shared/missing';
import { useNow } from '../shared/now';
import { OnlyHere } from '../shared/only-here';
import { Revisions } from '../shared/revisions';
import { save, useSaving } from '../shared/saving';
import { seen } from '../shared/sent';
import { zoneOf } from '../shared/site';
import { StaleHelp } from '../shared/stale';
import { shipmentTitle } from '../shared/titles';
import { Withdraw } from '../shared/withdraw';
import { clockSentence, standingClaim, stateOf } from './clock';
import { claimBody, claimBodyOf, claimDrafts, draftOfClaim, missingInClaim, newClaimDraft } from './draft';
import { fetchClaimed, foundOf, type Found } from './found';
import { ClaimForm } from './form';
import { printSheet } from './print';
import { NextStep } from './progress';
import { ClaimSheet } from './sheet';

const newKey = (shipmentId: string): string => `new ${shipmentId}`;

const addressOf = (shipmentId: string, claim?: string): string => withQuery(`/dock/shipments/${shipmentId}/claim`, { claim });

interface Props {
  found: Found;
  /** It is what the phone knows, since the server does not answer. */
  kept: boolean;
  reload: () => void;
}

function Clock({ found, claim }: { found: Found; claim: Claim | null }) {
  const said = words.value.dock.claim;
  const f = format.value;
  const { shipment, names } = found;
  const zone = zoneOf(shipment.site_id);
  const hours = names.suppliers.find(({ id }) => id === shipment.supplier_id)?.claim_hours ?? 24;
  const answered = claim?.answered_at ? ` ${said.answeredAt(f.moment(claim.answered_at, zone))}` : '';
  const credited = claim?.credit ? ` ${said.credited(claim.credit.amount, claim.credit.currency)}` : '';
  return (
    <Answer>
      <Marked text={clockSentence(shipment, claim, { words: words.value, f, zone, now: useNow(), hours }) + answered + credited} />
    </Answer>
  );
}

/** Writes a claim, or corrects one that was not sent. */
function Writing({ found, reload, claim }: Omit<Props, 'kept'> & { claim: Claim | null }) {
  const said = words.value.dock.claim;
  const { shipment, names } = found;
  const saving = useSaving();
  const base = useRef(claim).current; // what is typed corrects what was there when one began, whatever waits by now
  const key = base ? `${base.id} ${base.version}` : newKey(shipment.id);
  const draft = claimDrafts.of(key, () => (base ? draftOfClaim(base) : newClaimDraft(shipment.id)));
  const close = (id: string): void => {
    claimDrafts.drop(key);
    go(addressOf(shipment.id, id), { replace: true });
    reload();
  };
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing(missingInClaim(draft.value));
      const { id } = draft.value;
      await save('claims', id, claimBodyOf(draft.value, base ?? undefined), base?.version ?? null, said.title(shipmentTitle(names, shipment)));
      notify(said.saved);
      close(id);
    });
  return (
    <>
      {base && <OnlyHere id={base.id} mending />}
      <p class="lead">{said.lead}</p>
      <ClaimForm
        draft={draft.value}
        change={(part) => (draft.value = { ...draft.value, ...part })}
        found={found}
        saving={saving}
        onSubmit={submit}
        {...(base && { onCancel: () => close(base.id) })}
      />
      {base && <StaleHelp problem={saving.problem} record={base} siteId={shipment.site_id} names={names} reload={() => close(base.id)} />}
    </>
  );
}

function ShipmentPhotos({ found: { shipment, names }, reload, sent = false }: Omit<Props, 'kept'> & { sent?: boolean }) {
  const { dock } = words.value;
  return (
    <Section title={dock.photos.title} lead={sent ? dock.claim.photosLater : dock.claim.photosLead}>
      <Photos
        of={{ subject_noun: 'shipments', subject_id: shipment.id }}
        title={shipmentTitle(names, shipment)}
        may={canRecord(shipment.site_id)}
        kinds={['paper', 'box', 'label', 'plant']}
        captions
        onChanged={reload}
      />
    </Section>
  );
}

/** A saved claim: what comes next, and the page to send. */
function Saved({ found, reload, claim, kept }: Props & { claim: Claim }) {
  const { dock } = words.value;
  const said = dock.claim;
  const { shipment, names } = found;
  const zone = zoneOf(shipment.site_id);
  const title = said.title(shipmentTitle(names, shipment));
  const saving = useSaving();
  const may = canRecord(shipment.site_id);
  const withdraw = (because: string | null): void =>
    void saving.run(async () => {
      await save('claims', claim.id, claimBody({ ...claim, withdrawn_because: because }), claim.version, title);
      notify(because === null ? dock.withdraw.restored : dock.withdraw.done);
      reload();
    });
  return (
    <>
      <div class="claim-desk">
        {claim.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(claim.withdrawn_because)} />}
        <OnlyHere id={claim.id} />
        {kept && <Notice title={said.sheet.kept} />}
        {claim.answer && <p class="claim-text">{claim.answer}</p>}
        <div class="row">
          <Button kind="primary" onClick={() => void printSheet()}>
            {said.sheet.print}
          </Button>
          {may && !claim.answered_at && !claim.withdrawn_because && <ButtonLink to={withQuery(addressOf(shipment.id, claim.id), { write: 'yes' })}>{said.correct}</ButtonLink>}
        </div>
        <p class="quiet">{said.sheet.printHint}</p>
        {may && !claim.withdrawn_because && <NextStep key={claim.version} claim={claim} title={title} zone={zone} changed={reload} />}
        <ShipmentPhotos found={found} reload={reload} sent={Boolean(claim.sent_at)} />
      </div>
      <ClaimSheet claim={claim} found={found} />
      <div class="claim-desk">
        {saving.problem && <ProblemNotice problem={saving.problem} onReload={reload} />}
        {may && <Withdraw withdrawn={claim.withdrawn_because ?? null} busy={saving.busy} onWithdraw={withdraw} onRestore={() => withdraw(null)} />}
        <Revisions recordId={claim.id} version={claim.version} zone={zone} names={names} />
      </div>
    </>
  );
}

/** The other claims of the shipment: a second one may follow when more is found. */
function Others({ found: { shipment, claims }, shown }: { found: Found; shown: Claim | null }) {
  const said = words.value.dock.claim;
  const others = claims.filter(({ id }) => id !== shown?.id);
  const zone = zoneOf(shipment.site_id);
  return (
    <div class="claim-desk">
      {others.length > 0 && (
        <Details summary={said.others(others.length)}>
          <ul class="dock-list">
            {others.map((claim) => (
              <li key={claim.id} class="dock-line">
                <Link to={addressOf(shipment.id, claim.id)} class="dock-line-main">
                  <b>{said.state[stateOf(claim)]}</b>
                  <span class="quiet">
                    {format.value.moment(claim.recorded_at, zone)} · {said.lines((claim.items ?? []).length)}
                  </span>
                </Link>
              </li>
            ))}
          </ul>
        </Details>
      )}
      {shown && canRecord(shipment.site_id) && (
        <div>
          <ButtonLink to={addressOf(shipment.id, 'new')}>{said.another}</ButtonLink>
        </div>
      )}
    </div>
  );
}

function Content({ found, kept, reload }: Props) {
  const { query } = useRoute();
  const said = words.value.dock.claim;
  const asked = query.get('claim');
  const { shipment, claims } = found;
  // A new claim stays in its form until it is saved, also while it is on its way or when it was refused.
  const typing = claimDrafts.has(newKey(shipment.id)) ? claimDrafts.of(newKey(shipment.id), () => newClaimDraft(shipment.id)).value.id : null;
  const shown = asked === 'new' ? null : (claims.find(({ id }) => id === asked) ?? standingClaim(claims));
  const claim = shown?.id === typing ? null : shown;
  const may = canRecord(shipment.site_id);
  const writing = may && (claim === null || query.get('write') === 'yes');
  return (
    <>
      <div class="claim-desk">
        <Clock found={found} claim={claim} />
      </div>
      {writing ? (
        <>
          <Writing key={claim?.id ?? 'new'} found={found} reload={reload} claim={claim} />
          <ShipmentPhotos found={found} reload={reload} />
        </>
      ) : claim ? (
        <Saved found={found} kept={kept} reload={reload} claim={claim} />
      ) : (
        <Empty title={said.none}>{said.lead}</Empty>
      )}
      <Others found={found} shown={claim} />
    </>
  );
}

/** A claim of a shipment: what is claimed, by when it must be sent, and the page to send. */
export function ClaimPage({ shipmentId }: { shipmentId: string }) {
  const { dock } = words.value;
  const site = selectedSite.value?.id ?? '';
  const last = useLoad(() => recallWorked(site), [site]).data;
  const load = useHere(
    (signal) => fetchClaimed(shipmentId, signal),
    (arrivals, more) => (arrivals.shipments.some(({ id }) => id === shipmentId) ? { arrivals, more } : undefined),
    [shipmentId],
  );
  const here = pictures.value.length;
  const before = useRef(here);
  useEffect(() => {
    if (before.current !== here) load.reload(); // a photo was taken or sent
    before.current = here;
  }, [here]);
  const found = load.data && foundOf(load.data.arrivals, load.data.more ?? { photos: [], claims: last?.claims ?? [] }, seen(), shipmentId);
  const shipment = found ? shipmentTitle(found.names, found.shipment) : dock.lot.shipment;
  return (
    <Page title={found ? dock.claim.title(shipment) : dock.claim.section} back={{ to: `/dock/shipments/${shipmentId}`, label: shipment }} width="wide">
      <div class="claim" aria-busy={load.loading && !load.kept}>
        <ShowHere of={load}>{() => found && <Content found={found} kept={load.kept} reload={load.reload} />}</ShowHere>
      </div>
    </Page>
  );
}
