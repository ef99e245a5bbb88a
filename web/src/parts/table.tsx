import type { ComponentChildren } from 'preact';

export interface Column<Row> {
  key: string;
  head: string;
  cell: (row: Row) => ComponentChildren;
  /** Numbers stand to the right, in columns. */
  number?: boolean;
}

interface TableProps<Row> {
  /** Read aloud, and shown unless `quietCaption`. */
  caption: string;
  quietCaption?: boolean;
  columns: readonly Column<Row>[];
  rows: readonly Row[];
  rowKey: (row: Row) => string;
  /** On a phone, rows become short blocks with the heads beside the values; otherwise the table scrolls sideways. */
  stack?: boolean;
  /** Instead of an empty table. */
  empty?: ComponentChildren;
}

/** Rows and columns; the first column names the row. */
export function Table<Row>({ caption, quietCaption = true, columns, rows, rowKey, stack = false, empty }: TableProps<Row>) {
  if (rows.length === 0 && empty !== undefined) return <>{empty}</>;
  return (
    <div class="table-scroll" role="region" aria-label={caption} tabIndex={0}>
      <table class={stack ? 'table table-stack' : 'table'}>
        <caption class={quietCaption ? 'aside-only' : undefined}>{caption}</caption>
        <thead>
          <tr>
            {columns.map(({ key, head, number }) => (
              <th key={key} scope="col" class={number ? 'num' : undefined}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={rowKey(row)}>
              {columns.map(({ key, head, cell, number }, i) =>
                i === 0 ? (
                  <th key={key} scope="row" class={number ? 'num' : undefined}>
                    {cell(row)}
                  </th>
                ) : (
                  <td key={key} class={number ? 'num' : undefined} data-head={head}>
                    {cell(row)}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
