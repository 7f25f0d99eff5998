// Documents that fit the schema, made at random: fields, arguments and inputs as it allows them, with values that no one asks with.
import {
  type GraphQLArgument,
  type GraphQLField,
  type GraphQLInputField,
  type GraphQLInputType,
  type GraphQLNamedOutputType,
  type GraphQLSchema,
  getNamedType,
  getNullableType,
  isAbstractType,
  isEnumType,
  isInputObjectType,
  isLeafType,
  isListType,
  isRequiredArgument,
  isRequiredInputField,
} from 'graphql'
import type { Random } from '../../seeds/random.ts'
import { oddText } from './odd-texts.ts'
import { OPERATIONS } from './walk-schema.ts'

/** Numbers at the edges of what a double, an Int and a bigint hold. */
const NUMBERS = [
  ...['0', '-0', '-1', '1', '2147483647', '-2147483648', '2147483648', '9007199254740993', '1e308', '-1e309', '1e-400'],
  ...['0.1', '00', '0x10', '1_000', 'NaN', '9'.repeat(400)],
]

const DAYS = ['2027-03-02', '2027-02-30', '0000-00-00', '9999-12-31', '-1', '2027-3-2', '12027-01-01', 'today']
const INSTANTS = [
  '2027-03-02T10:00:00Z',
  '2027-03-02T24:00:00Z',
  '2027-03-02T10:00:00+14:59',
  '9999-12-31T23:59:60Z',
  '',
]

/** Parts of a document. */
const SIZES = [5, 20, 60, 200, 800]

export class Grammar {
  readonly #schema: GraphQLSchema
  readonly #random: Random
  readonly #ids: readonly string[]
  /** Parts that the document may still have beside those that it must have. */
  #left = 0

  /** `ids` are things that are there, of any distributor. */
  constructor(schema: GraphQLSchema, random: Random, ids: readonly string[]) {
    this.#schema = schema
    this.#random = random
    this.#ids = ids
  }

  /** An operation with one to four root fields. */
  document(): string {
    this.#left = this.#random.pick(SIZES)
    const operation = this.#random.weighted(OPERATIONS, (each) => (each === 'query' ? 6 : each === 'mutation' ? 4 : 1))
    const types = {
      query: this.#schema.getQueryType(),
      mutation: this.#schema.getMutationType(),
      subscription: this.#schema.getSubscriptionType(),
    }
    const fields = Object.values(types[operation]?.getFields() ?? {})
    const count = operation === 'query' ? this.#random.int(1, 4) : 1
    const roots = Array.from({ length: count }, (_, n) => `r${n}: ${this.#field(this.#random.pick(fields), 4)}`)
    return `${operation} { ${roots.join(' ')} }`
  }

  /** A field with its arguments and, where it is an object, some of its fields. */
  #field(field: GraphQLField<unknown, unknown>, depth: number): string {
    const args = this.#arguments(field.args)
    const named = getNamedType(field.type)
    return `${field.name}${args}${isLeafType(named) ? '' : ` ${this.#selection(named, depth - 1)}`}`
  }

  #selection(type: GraphQLNamedOutputType, depth: number): string {
    if (isLeafType(type)) return ''
    if (isAbstractType(type)) {
      const members = this.#schema.getPossibleTypes(type).filter(() => this.#may(0.5))
      const parts = members.map((member) => `... on ${member.name} ${this.#selection(member, Math.min(depth, 1))}`)
      return `{ __typename ${parts.join(' ')} }`
    }
    const fields = Object.values(type.getFields()).filter(
      (field) => (depth > 0 || isLeafType(getNamedType(field.type))) && this.#may(0.4),
    )
    // What is asked for twice under one name must be asked for alike: each has a name of its own.
    const parts = fields.map(
      (field) => `${this.#random.chance(0.1) ? `a${this.#random.int(1, 1e9)}: ` : ''}${this.#field(field, depth)}`,
    )
    return `{ __typename ${parts.join(' ')} }`
  }

  #arguments(args: readonly GraphQLArgument[]): string {
    const given = args.filter((each) => isRequiredArgument(each) || this.#may(0.3))
    if (given.length === 0) return ''
    return `(${given.map((each) => `${each.name}: ${this.#value(each.type, each.name, 5)}`).join(', ')})`
  }

  /** A value as a document writes it; now and then of the wrong type. */
  #value(type: GraphQLInputType, name: string, depth: number): string {
    const random = this.#random
    if (random.chance(0.01)) return random.pick(['null', '$none', '{}', '[]', 'NONE', '""', ...NUMBERS])
    const nullable = getNullableType(type)
    if (isListType(nullable)) {
      const length = random.weighted([0, 1, 2, 5, 200], (each) =>
        each === 200 && depth < 4 ? 0 : each === 200 ? 0.2 : 3,
      )
      return `[${Array.from({ length }, () => this.#value(nullable.ofType, name, depth - 1)).join(', ')}]`
    }
    if (isEnumType(nullable)) return random.pick(nullable.getValues()).name
    if (isInputObjectType(nullable)) {
      const fields = Object.values(nullable.getFields())
      const given =
        nullable.isOneOf && random.chance(0.97)
          ? [random.pick(fields)]
          : fields.filter((each) => this.#isGiven(each, depth))
      return `{${given.map((each) => `${each.name}: ${this.#value(each.type, each.name, depth - 1)}`).join(', ')}}`
    }
    return this.#leaf(nullable.name, name)
  }

  #isGiven(field: GraphQLInputField, depth: number): boolean {
    return isRequiredInputField(field) || (depth > 0 && this.#may(0.3))
  }

  /** Whether there is room for one more part, and chance wants it. */
  #may(probability: number): boolean {
    if (this.#left <= 0 || !this.#random.chance(probability)) return false
    this.#left -= 1
    return true
  }

  #leaf(type: string, name: string): string {
    const random = this.#random
    const isPlain = random.chance(0.7)
    if (type === 'Boolean') return String(random.chance(0.5))
    if (type === 'Int' || type === 'Float') return isPlain ? String(random.int(0, 50)) : random.pick(NUMBERS)
    if (type === 'LocalDate') return JSON.stringify(isPlain ? DAYS[0] : random.pick(DAYS))
    if (type === 'DateTime') return JSON.stringify(isPlain ? INSTANTS[0] : random.pick(INSTANTS))
    if (type === 'ID') return JSON.stringify(isPlain ? random.pick(this.#ids) : oddText(random))
    return JSON.stringify(isPlain ? `${name} ${random.int(1, 9)}` : oddText(random))
  }
}
