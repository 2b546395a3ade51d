/** Art-Net 4, table of OpCodes: what a packet is for. Sent low byte first. */
export const OP_CODES = {
  ArtPoll: 0x2000,
  ArtPollReply: 0x2100,
  ArtDiagData: 0x2300,
  ArtCommand: 0x2400,
  ArtDataRequest: 0x2700,
  ArtDataReply: 0x2800,
  ArtDmx: 0x5000,
  ArtNzs: 0x5100,
  ArtSync: 0x5200,
  ArtAddress: 0x6000,
  ArtInput: 0x7000,
  ArtTodRequest: 0x8000,
  ArtTodData: 0x8100,
  ArtTodControl: 0x8200,
  ArtRdm: 0x8300,
  ArtRdmSub: 0x8400,
  ArtTimeCode: 0x9700,
  ArtTimeSync: 0x9800,
  ArtTrigger: 0x9900,
  ArtDirectory: 0x9a00,
  ArtDirectoryReply: 0x9b00,
  ArtFirmwareMaster: 0xf200,
  ArtFirmwareReply: 0xf300,
  ArtIpProg: 0xf800,
  ArtIpProgReply: 0xf900,
} as const;

export type OpCodeName = keyof typeof OP_CODES;

const names = new Map<number, string>(Object.entries(OP_CODES).map(([name, code]) => [code, name]));

/** Undefined for a code that the table does not have. */
export const opCodeName = (code: number): OpCodeName | undefined => names.get(code) as OpCodeName | undefined;
