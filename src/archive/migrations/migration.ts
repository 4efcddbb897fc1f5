/** One step of the database's form. Once shipped, its SQL is frozen. */
export interface Migration {
  /** The version the database has afterwards; 1, 2, 3 ... without a gap. */
  readonly version: number;
  readonly title: string;
  readonly sql: string;
}
