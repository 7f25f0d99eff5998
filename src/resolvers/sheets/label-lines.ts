// What the label of a container says.
import type { LocalDate } from '../../planner/documents/index.ts'
import { type Strength, strengthInWords } from '../../sheets/strength.ts'

interface Labelled {
  beer: { name: string; allergens: readonly string[] }
  containerType: { name: string; nominalLitres: number }
}

/** Line by line: beer, strength, contents, allergens, best before, lot. What is not set up has no line. */
export function labelLines(
  { beer, containerType }: Labelled,
  { lotCode, bestBefore, strength }: { lotCode: string; bestBefore: LocalDate; strength: Strength | undefined },
): string[] {
  const litres = Number(containerType.nominalLitres.toFixed(2))
  return [
    beer.name,
    ...(strength ? [strengthInWords(strength)] : []),
    `${containerType.name}, ${litres} L`,
    ...(beer.allergens.length === 0 ? [] : [`Contains: ${beer.allergens.join(', ')}`]),
    `Best before ${bestBefore}`,
    `Lot ${lotCode}`,
  ]
}
