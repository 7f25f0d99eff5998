// A sheet as a page of paper: titles, tables and lists, before it becomes text for a terminal or HTML for a printer.

export interface Page {
  title: string
  /** Lines under the title: what it is of, and when it was made. */
  subtitle: readonly string[]
  sections: readonly Section[]
  /** What can hurt somebody, at the foot of the page. */
  cautions: readonly string[]
}

export interface Section {
  heading?: string
  /** Lines before the table or the list. */
  notes?: readonly string[]
  table?: Table
  /** What is done one after the other; each gets a box to tick. */
  steps?: readonly string[]
  /** Whether the steps, or the rows of the table, stand in two columns on paper. */
  inColumns?: boolean
}

export interface Table {
  columns: readonly Column[]
  /** One text for each column. */
  rows: readonly (readonly string[])[]
}

export interface Column {
  title: string
  /** Figures stand right. Absent: left. */
  align?: 'right'
  /** Whether it is never broken into lines. */
  isWhole?: true
  /** Whether it takes all the room that the other columns leave. */
  isWide?: true
}
