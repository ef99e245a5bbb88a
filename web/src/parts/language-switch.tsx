import { language, speak, words } from '../words';

/** The other language, one tap away on every page. */
export function LanguageSwitch({ short = false }: { short?: boolean }) {
  const { common } = words.value;
  const other = language.value === 'en' ? 'es' : 'en';
  return (
    <button type="button" class="btn btn-quiet language" lang={other} aria-label={short ? common.otherLanguage : undefined} onClick={() => speak(other)}>
      {short ? common.otherLanguageShort : common.otherLanguage}
    </button>
  );
}
