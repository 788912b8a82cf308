package web

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// Cost of a password's hash: two passes over 19 MiB, as the open guidance for
// argon2id has it.
const (
	passes   = 2
	kibibyte = 19 * 1024
	hashSize = 32
	saltSize = 16
)

// passwordTries are let through at once, and given back within a minute, so that
// no minute sees more than twice as many for one account.
const passwordTries = 5

// shortest is the least number of characters of a password.
const shortest = 10

// rows are what fingers run along.
var rows = []string{"12345678901234567890", "abcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnm", "qwertzuiopasdfghjklyxcvbnm", "azertyuiopqsdfghjklmwxcvbn"}

// wornWords are as good as nothing in a password of this program.
var wornWords = []string{"rinsewright", "password", "contraseña", "welcome", "rinse", "owner"}

// easyPassword tells whether somebody who knows the program and the login would
// try it soon: it is a run along the keys, a few signs again and again, or little
// beside worn words.
func easyPassword(password, login string) bool {
	signs := map[rune]bool{}
	for _, r := range password {
		signs[r] = true
	}
	back := []rune(password)
	slices.Reverse(back)
	for _, row := range rows {
		if strings.Contains(row, password) || strings.Contains(row, string(back)) {
			return true
		}
	}
	rest := password
	for _, worn := range append([]string{login}, wornWords...) {
		if worn != "" {
			rest = strings.ReplaceAll(rest, worn, "")
		}
	}
	return len(signs) < 4 || rest != password && utf8.RuneCountInString(rest) < 6
}

// hashed returns a password as it is kept, with its salt and cost.
func (s *Server) hashed(ctx context.Context, password string) (string, error) {
	salt := make([]byte, saltSize)
	_, _ = rand.Read(salt) // never fails, by the promise of crypto/rand
	sum, err := s.stretch(ctx, password, salt)
	if err != nil {
		return "", err
	}
	b := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=1$%s$%s", argon2.Version, kibibyte, passes, b.EncodeToString(salt), b.EncodeToString(sum)), nil
}

// matches tells whether a password is the one that was hashed. With nothing
// kept it takes as long and says no, so that nobody learns who has an account.
func (s *Server) matches(ctx context.Context, password, kept string) (bool, error) {
	parts := strings.Split(kept, "$")
	salt, sum := make([]byte, saltSize), []byte(nil)
	if len(parts) == 6 {
		var err1, err2 error
		salt, err1 = base64.RawStdEncoding.DecodeString(parts[4])
		sum, err2 = base64.RawStdEncoding.DecodeString(parts[5])
		if err1 != nil || err2 != nil {
			sum = nil
		}
	}
	got, err := s.stretch(ctx, password, salt)
	return err == nil && len(sum) == hashSize && subtle.ConstantTimeCompare(got, sum) == 1, err
}

// stretch hashes, a few at a time: each takes 19 MiB.
func (s *Server) stretch(ctx context.Context, password string, salt []byte) ([]byte, error) {
	select {
	case s.hashing <- struct{}{}:
		defer func() { <-s.hashing }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	return argon2.IDKey([]byte(password), salt, passes, kibibyte, 1, hashSize), nil
}
