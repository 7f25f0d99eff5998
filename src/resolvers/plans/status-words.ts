// Where a plan stands, in words.

/** The status of a plan as part of a sentence, such as `in force`. */
export function statusWords(status: string): string {
  return status.toLowerCase().replace('_', ' ')
}
