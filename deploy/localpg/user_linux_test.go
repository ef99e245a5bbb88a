package localpg

import (
	"context"
	"io"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTheServerNeverRunsAsRoot(t *testing.T) {
	t.Parallel()
	s := start(t, Options{Throwaway: true})
	owner, exists, err := ownerOf(filepath.Join("/proc", strconv.Itoa(s.Pid())))
	require.NoError(t, err)
	require.True(t, exists)
	require.NotZero(t, owner.uid)
	require.Equal(t, s.account.uid, owner.uid)
}

// The tests may run as root or not; this one makes a program that does not.
func TestANormalUserOwnsAServerAndRootServesTheFolderAsThatUser(t *testing.T) {
	t.Parallel()
	parent := openDir(t, "")
	// The folder where go test puts the binary is closed to others.
	binary := filepath.Join(parent, "localpg.test")
	copyFile(t, os.Args[0], binary)
	dir := newDir(t)
	uid := uint32(os.Geteuid())
	var credential *syscall.Credential
	if uid == 0 {
		nobody, err := user.Lookup("nobody")
		require.NoError(t, err)
		id, err := strconv.ParseUint(nobody.Uid, 10, 32)
		require.NoError(t, err)
		uid = uint32(id)
		credential = &syscall.Credential{Uid: uid, Gid: uid}
		require.NoError(t, os.Chown(filepath.Dir(dir), int(uid), int(uid)))
	}
	p := runProgram(t, "owner", dir, func(cmd *exec.Cmd) {
		cmd.Path, cmd.Dir = binary, parent
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: credential}
	})
	kill(t, p.owner)
	kill(t, p.postmaster)
	requireSoon(t, func() bool { return ended(p.owner)() && ended(p.postmaster)() }, "both are dead")

	s := start(t, Options{Dir: dir})
	require.Equal(t, uid, s.account.uid)
	require.Equal(t, 1, rows(t, s))
	require.NoError(t, s.Stop(context.Background()))
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	in, err := os.Open(from)
	require.NoError(t, err)
	defer in.Close()
	out, err := os.OpenFile(to, os.O_CREATE|os.O_WRONLY, 0o755)
	require.NoError(t, err)
	_, err = io.Copy(out, in)
	require.NoError(t, err)
	require.NoError(t, out.Close())
}

func TestRootStepsDownToPostgresElseNobody(t *testing.T) {
	t.Parallel()
	machine := func(users ...*user.User) func(string) (*user.User, error) {
		return func(name string) (*user.User, error) {
			for _, u := range users {
				if u.Username == name {
					return u, nil
				}
			}
			return nil, user.UnknownUserError(name)
		}
	}
	postgres := &user.User{Username: "postgres", Uid: "101", Gid: "104"}
	nobody := &user.User{Username: "nobody", Uid: "65534", Gid: "65533"}

	got, err := unprivileged(machine(nobody, postgres))
	require.NoError(t, err)
	require.Equal(t, account{name: "postgres", uid: 101, gid: 104, drop: true}, got)
	got, err = unprivileged(machine(nobody))
	require.NoError(t, err)
	require.Equal(t, account{name: "nobody", uid: 65534, gid: 65533, drop: true}, got)
	_, err = unprivileged(machine(&user.User{Username: "postgres", Uid: "0", Gid: "0"}))
	require.ErrorContains(t, err, "start the program as a normal user")
}

func TestAClosedFolderOnTheWayIsNamed(t *testing.T) {
	t.Parallel()
	parent := newDir(t)
	closed := filepath.Join(parent, "closed")
	dir := filepath.Join(closed, "a", "site")
	require.NoError(t, os.MkdirAll(dir, 0o755))
	stranger := account{name: "stranger", uid: uint32(os.Geteuid()) + 7, gid: uint32(os.Getegid()) + 7, drop: true}
	require.Empty(t, stranger.blockedAt(dir))
	require.NoError(t, os.Chmod(closed, 0o700))
	require.Equal(t, closed, stranger.blockedAt(dir))

	err := explain(&os.PathError{Op: "chdir", Path: dir, Err: syscall.EACCES}, dir, stranger)
	require.ErrorContains(t, err, "user stranger, as whom the database runs because its programs refuse root, may not enter "+closed)

	if os.Geteuid() == 0 { // only root steps down to a user who can be kept out
		_, err = Start(t.Context(), Options{Dir: dir})
		require.ErrorContains(t, err, "may not enter "+closed)
		require.NoError(t, os.Chmod(closed, 0o711))
	}
	s := start(t, Options{Dir: dir})
	require.NoError(t, addRow(t.Context(), s))
}
