import { begunCount } from '../local/begun';
import { waitsForPeople } from '../local/people';
import { words } from '../words';

/** What people other than one left on this phone, a line each; nothing when they left nothing. */
export function Others({ than }: { than?: string | undefined }) {
  const { phone } = words.value.common;
  const unfinished = begunCount({ othersThan: than });
  return (
    <>
      {waitsForPeople(than).map(({ name, records, photos, refused }) => (
        <p key={name}>
          {[(records > 0 || photos > 0) && phone.waitsFor(name, records, photos), refused > 0 && phone.refusedOf(name, refused)].filter(Boolean).join(' ')}
        </p>
      ))}
      {unfinished > 0 && <p>{phone.unfinishedOf(unfinished)}</p>}
    </>
  );
}
