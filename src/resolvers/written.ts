// What every write answers.

/** The row's id, and the revision that the records have since. */
export interface Written {
  id: string
  revision: number
}
