import { Table, type Column } from '../../parts';
import { format, words } from '../../words';
import { More } from '../more';
import { blockText, spotText } from './answers';
import type { BlockThen } from './blocks';

/** The map as a table, for those who cannot see it. */
export function BlockTable({ blocks, week }: { blocks: readonly BlockThen[]; week: string }) {
  const { map: say, trends } = words.value;
  const speech = { words: words.value, format: format.value };
  const caption = say.tableTitle(format.value.week(week));
  const columns: Column<BlockThen>[] = [
    { key: 'block', head: trends.by.block, cell: ({ block }) => block.name },
    { key: 'section', head: trends.by.section, cell: ({ block }) => (block.section === '' ? '–' : block.section) },
    { key: 'share', head: trends.table.percent, cell: (then) => blockText(then, speech) },
    { key: 'standing', head: say.standingHead, number: true, cell: (then) => ((then.week?.standing_plants ?? 0) > 0 ? format.value.count(then.week?.standing_plants ?? 0) : '–') },
    { key: 'limit', head: say.limitHead, cell: ({ week: at }) => (at?.share ? trends.standing[at.code] : '–') },
    { key: 'beside', head: say.besideHead, cell: ({ beside }) => (beside.length === 0 ? '–' : format.value.list(beside.map(({ name }) => name))) },
    { key: 'spots', head: say.spotsHead, cell: ({ spots }) => (spots.length === 0 ? '–' : format.value.list(spots.map((spot) => spotText(spot, speech)))) },
  ];
  return <More summary={caption}>{() => <Table caption={caption} columns={columns} rows={blocks} rowKey={({ block }) => block.block_id} />}</More>;
}
