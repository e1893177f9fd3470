package disk

import "syscall"

// What the system calls the reasons: "System Error Codes" of the Windows
// documentation, from memory.
var (
	fullErrors        = []syscall.Errno{39, 112}              // ERROR_HANDLE_DISK_FULL, ERROR_DISK_FULL
	unreachableErrors = []syscall.Errno{21, 53, 59, 64, 1231} // not ready, bad net path, unexpected net error, netname deleted, network unreachable
	readOnlyErrors    = []syscall.Errno{19}                   // ERROR_WRITE_PROTECT
	tooLongErrors     = []syscall.Errno{206}                  // ERROR_FILENAME_EXCED_RANGE
)
