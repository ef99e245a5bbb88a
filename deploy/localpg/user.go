package localpg

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// account is the system user the server runs as.
type account struct {
	name     string
	uid, gid uint32
	drop     bool // whether this program runs as root and must step down to it
}

// serverAccount chooses the user: oneself, or when that is root, which the
// server programs refuse, the owner of the data folder if there is one already,
// else postgres, else nobody.
func serverAccount(data string) (account, error) {
	self := uint32(os.Geteuid())
	owner, exists, err := ownerOf(data)
	if err != nil {
		return account{}, err
	}
	if self != 0 {
		if exists && owner.uid != self {
			return account{}, fmt.Errorf("%s belongs to user %s: start the program as that user or as root", data, owner.name)
		}
		return account{name: nameOf(self), uid: self, gid: uint32(os.Getegid())}, nil
	}
	if exists && owner.uid != 0 {
		owner.drop = true
		return owner, nil
	}
	return unprivileged(user.Lookup)
}

// unprivileged finds the user to step down to. initdb looks its user up by
// number, so a number without a name will not do.
func unprivileged(lookup func(string) (*user.User, error)) (account, error) {
	for _, name := range []string{"postgres", "nobody"} {
		u, err := lookup(name)
		if err != nil {
			continue
		}
		uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
		gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
		if err1 != nil || err2 != nil || uid == 0 {
			continue
		}
		return account{name: name, uid: uint32(uid), gid: uint32(gid), drop: true}, nil
	}
	return account{}, errors.New("the database programs refuse to run as root, and this machine has neither a user postgres nor a user nobody: start the program as a normal user")
}

func ownerOf(path string) (owner account, exists bool, err error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return account{}, false, nil
	}
	if err != nil {
		return account{}, false, err
	}
	st := info.Sys().(*syscall.Stat_t)
	return account{name: nameOf(st.Uid), uid: st.Uid, gid: st.Gid}, true, nil
}

func nameOf(uid uint32) string {
	id := strconv.FormatUint(uint64(uid), 10)
	if u, err := user.LookupId(id); err == nil {
		return u.Username
	}
	return id
}

// credential is nil when the server runs as this program's own user.
func (a account) credential() *syscall.Credential {
	if !a.drop {
		return nil
	}
	return &syscall.Credential{Uid: a.uid, Gid: a.gid}
}

// mkdir makes a folder that only this account may enter.
func (a account) mkdir(path string) error {
	if err := os.Mkdir(path, 0o700); err != nil {
		return err
	}
	return a.own(path)
}

func (a account) own(path string) error {
	if !a.drop {
		return nil
	}
	return os.Chown(path, int(a.uid), int(a.gid))
}

// blockedAt returns the topmost folder on the way to path, path included, whose
// permission bits keep this account out; "" if none does.
func (a account) blockedAt(path string) string {
	if parent := filepath.Dir(path); parent != path {
		if above := a.blockedAt(parent); above != "" {
			return above
		}
	}
	info, err := os.Stat(path)
	if err != nil || a.mayEnter(info) {
		return ""
	}
	return path
}

func (a account) mayEnter(info fs.FileInfo) bool {
	st := info.Sys().(*syscall.Stat_t)
	switch {
	case st.Uid == a.uid:
		return info.Mode().Perm()&0o100 != 0
	case st.Gid == a.gid:
		return info.Mode().Perm()&0o010 != 0
	default:
		return info.Mode().Perm()&0o001 != 0
	}
}
