// What a container holds and what a fill takes on top, in the ledger's whole millilitres; planned with the same figures, a fill that
// is carried out as planned leaves just what the plan says.

interface ContainerVolumes {
  nominalLitres: number
  overfillFraction: number
}

/** Nominal millilitres of a container, and those that a fill takes on top. */
export function containerMillilitres(type: ContainerVolumes): { nominalMl: number; overfillMl: number } {
  const nominalMl = Math.round(type.nominalLitres * 1000)
  return { nominalMl, overfillMl: Math.round(nominalMl * type.overfillFraction) }
}

/** A container type with the volumes that the ledger moves (L2). */
export function inWholeMillilitres<Type extends ContainerVolumes>(type: Type): Type {
  const { nominalMl, overfillMl } = containerMillilitres(type)
  return { ...type, nominalLitres: nominalMl / 1000, overfillFraction: overfillMl / nominalMl }
}
