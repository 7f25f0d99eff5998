// The strength of beer as a sheet gives it.

export interface Strength {
  /** Alcohol by volume, per cent. */
  abv: number
  /** It is what the beer should have, since none was said of its brew, or of a brew in the blend. */
  isExpected: boolean
}

/** As a label says it, such as `4.2 % vol`: to one decimal (Regulation (EU) No 1169/2011, Annex XII, from memory); marked where none was said. */
export function strengthInWords({ abv, isExpected }: Strength): string {
  return `${Number(abv.toFixed(1))} % vol${isExpected ? ' (expected)' : ''}`
}
