// A statement that changes rows of a table.

export const set = (table: string, change: string, where = 'TRUE') => `UPDATE "${table}" SET ${change} WHERE ${where}`
